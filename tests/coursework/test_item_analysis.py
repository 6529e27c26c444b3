"""Item analysis against a general library (scipy) and a case worked by hand."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from suspedu.coursework.book import item_analysis


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
