"""Item analysis against a general library (scipy) and a case worked by hand."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from suspedu.coursework.book import item_analysis
from suspedu.coursework.book.class_figures import commonest
from suspedu.school.designs import Reached


def test_correlation_is_scipys_point_biserial():
    chance = np.random.default_rng(3)
    right = chance.integers(0, 2, 40)
    rest = chance.normal(10, 3, 40) + 2 * right
    outside = stats.pointbiserialr(right, rest).statistic
    assert item_analysis.rest_correlation(right, rest + right) == pytest.approx(outside, abs=1e-10)
    assert item_analysis.rest_correlation(right, rest) != pytest.approx(outside, abs=1e-3)  # own points not taken out


def test_upper_lower_worked_by_hand():
    # 10 students, groups of 27 % = 3: upper three have 1, 1, 0 right, lower three 0, 1, 0: D = 2/3 - 1/3
    points, totals = [1, 1, 0, 1, 0, 1, 0, 0, 1, 0], [19, 18, 17, 15, 14, 13, 12, 9, 8, 7]
    assert item_analysis.upper_lower(points, totals, 1) == pytest.approx(1 / 3)


def test_ties_do_not_depend_on_the_order_of_the_class():
    points, totals = np.array([2, 0, 2, 0, 2, 0, 2, 0, 0, 2.0]), np.full(10, 5.0)
    assert item_analysis.upper_lower(points, totals, 2) == pytest.approx(0)
    assert item_analysis.upper_lower(points[::-1], totals, 2) == pytest.approx(0)


@settings(max_examples=40)
@given(st.lists(st.tuples(st.integers(0, 3), st.integers(0, 20)), min_size=8, max_size=40))
def test_figures_stay_in_their_ranges(rows):
    points = [p for p, _ in rows]
    totals = [p + t for p, t in rows]
    found = item_analysis.item(points, totals, 3)
    assert 0 <= found.share <= 1 and -1 - 1e-12 <= found.difference <= 1 + 1e-12
    assert math.isnan(found.correlation) or -1 - 1e-9 <= found.correlation <= 1 + 1e-9


def test_a_small_class_is_told_nothing():
    found = item_analysis.item([1, 0, 1], [3, 1, 2], 1)
    assert found.count == 3 and math.isnan(found.correlation) and math.isnan(found.difference)
    assert math.isnan(item_analysis.item([], [], 1).share)


@pytest.mark.parametrize(("roads", "counted"), [
    (["a", "b", "", "a"], ((2, "a"), (1, "b"))),
    (["That is what is fitted now. The drop at 2 °C comes to 7.34 bar; wanted: at most 6.10 bar; the hole is kept.",
      "That is what is fitted now. The drop at -2 °C comes to 12.1 bar; wanted: at most 9.00 bar."],
     ((2, "for one of them: That is what is fitted now. The drop at 2 °C comes to 7.34 bar; wanted: at most 6.10 bar; "
          "the hole is kept."),)),
    (["The rate comes to 7.3 N/mm; wanted: 8.0 to 8.4 N/mm.", "The rate comes to 10.25 N/mm; wanted: 9.1 to 9.6 N/mm.",
      "The sag comes to 7.3 mm; wanted: 8.0 to 8.4 mm."],
     ((2, "for one of them: The rate comes to 7.3 N/mm; wanted: 8.0 to 8.4 N/mm."),
      (1, "The sag comes to 7.3 mm; wanted: 8.0 to 8.4 mm."))),
    (["You took the radius. Take the diameter.", "You took the radius. Take the diameter.", "You took the radius."],
     ((2, "You took the radius. Take the diameter."), (1, "You took the radius."))),
])
def test_roads_that_differ_in_their_figures_alone_are_counted_together(roads, counted):
    assert commonest(roads) == counted


def test_hints_of_a_design_that_comes_to_different_figures_are_one_road():
    """As a marked class has them: the sentences that `Reached` itself writes."""
    reached = [Reached("the drop at 2 °C", 10.0 * 1.37**k, high=6.0 + k, unit="bar", digits=2) for k in range(9)]
    roads = [f"{each.words[:1].upper()}{each.words[1:]}." for each in reached]
    assert [count for count, _ in commonest(roads)] == [9]
