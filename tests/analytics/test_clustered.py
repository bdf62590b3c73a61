"""Sessions as the unit: worked examples and laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import linregress, ttest_1samp

from analytics.clustered import (
    change_over_sessions,
    mean_of_slopes,
    mean_over_sessions,
    mean_over_shots,
    random_intercept,
    session_means,
    slopes_by_session,
)


def test_equal_sessions_give_the_t_interval_of_their_means():
    values = np.array([1.0, 3.0, 2.0, 6.0, 4.0, 8.0])
    days = np.array([0, 0, 1, 1, 2, 2])
    ours = mean_over_sessions(values, days)
    other = ttest_1samp([2.0, 4.0, 6.0], 0)
    interval = other.confidence_interval(0.95)
    assert (ours.value, ours.low, ours.high) == pytest.approx((4.0, interval.low, interval.high))
    assert ours.p_value == pytest.approx(other.pvalue)
    assert (ours.n_shots, ours.n_sessions) == (6, 3)


def test_one_session_has_no_interval_over_sessions_but_one_for_its_day():
    values, days = np.array([1.0, 2.0, 3.0]), np.zeros(3, int)
    assert not mean_over_sessions(values, days).known
    assert mean_over_shots(values, days).se == pytest.approx(1 / np.sqrt(3))


def test_nothing_gives_nothing():
    empty = mean_over_sessions(np.array([np.nan]), np.array([0]))
    assert (empty.n_shots, empty.n_sessions, empty.known) == (0, 0, False)


def test_change_equals_a_regression_on_the_sessions():
    y, weeks = np.array([14.0, 13.5, 12.0, 11.5, 10.0, 8.5]), np.arange(6.0)
    ours, other = change_over_sessions(y, weeks, 90), linregress(weeks, y)
    assert ours.value == pytest.approx(other.slope * 5)
    assert ours.se == pytest.approx(other.stderr * 5)
    assert ours.p_value == pytest.approx(other.pvalue)


def test_change_needs_three_sessions():
    assert not change_over_sessions(np.array([1.0, 2.0]), np.arange(2.0), 10).known


def test_slopes_are_fitted_within_sessions():
    x = np.tile(np.arange(6.0), 3)
    days = np.repeat([4, 7, 9], 6)
    y = np.repeat([10.0, -5.0, 3.0], 6) + x * np.repeat([1.0, 2.0, 3.0], 6)
    labels, slopes = slopes_by_session(x, y, days)
    assert labels.tolist() == [4, 7, 9]
    assert slopes == pytest.approx([1.0, 2.0, 3.0])
    assert mean_of_slopes(slopes, 18).value == pytest.approx(2.0)


def test_no_day_effect_gives_no_day_spread():
    values = np.array([1.0, -1.0, 2.0, -2.0, 0.5, -0.5])
    assert random_intercept(session_means(values, np.array([0, 0, 1, 1, 2, 2]))).between_sd == 0.0


@given(st.permutations(range(12)), st.floats(-5, 5), st.floats(0.1, 10))
def test_row_order_does_not_matter_and_the_estimate_moves_with_its_unit(order, shift, scale):
    values = np.array([1, 4, 2, 8, 5, 7, 1, 3, 9, 2, 6, 5.0])
    days = np.array([0, 0, 0, 1, 1, 2, 2, 2, 2, 3, 3, 3])
    plain = mean_over_sessions(values, days)
    moved = mean_over_sessions((values * scale + shift)[list(order)], days[list(order)])
    assert moved.value == pytest.approx(plain.value * scale + shift, abs=1e-6)
    assert moved.se == pytest.approx(plain.se * scale, rel=1e-4)
