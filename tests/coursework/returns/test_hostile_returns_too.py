"""The other half of the hostile groups (`conftest.HALVES`), in a file of its own, so that two workers share them."""

import pytest
from test_hostile_returns import (  # noqa: F401, collected here for this file's groups
    test_a_second_run_marks_nothing_again,
    test_each_kind_earns_what_it_should,
    test_every_refusal_is_one_sentence_and_no_traceback,
    test_mode_is_in_output_and_record,
    test_nothing_outlives_the_run,
    test_nothing_outside_was_touched,
    test_sheets_show_hostile_text_harmlessly_and_no_solution,
)

pytestmark = pytest.mark.timeout(1200)
