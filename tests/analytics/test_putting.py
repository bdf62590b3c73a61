"""Putting curves: laws, costs, a player's own curve, refusals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.errors import BadQuestion
from analytics.hole import FOOT_M
from analytics.own_putting import own_putting
from analytics.putting import (
    TOUR,
    AngleModel,
    fit_angle,
    putt_costs,
    up_and_down,
)

COSTS = putt_costs(TOUR)


@given(st.floats(0.01, 30), st.floats(1.01, 2))
def test_farther_putts_drop_less_and_cost_more(distance_m, times) -> None:
    near, far = np.array(distance_m), np.array(distance_m * times)
    assert TOUR.make(far) <= TOUR.make(near) + 1e-12
    assert COSTS.expected(far) >= COSTS.expected(near) - 1e-9


def test_a_holed_ball_costs_nothing_and_a_ball_at_the_hole_one() -> None:
    assert COSTS.expected(np.array([0.0, 0.05])) == pytest.approx([0, 1], abs=1e-3)
    assert TOUR.make(np.array(0.0)) == 1


def test_simulated_putts_cost_what_the_table_says() -> None:
    rng = np.random.default_rng(5)
    n = 40_000
    feet = np.full(n, 20.0)
    strokes = np.zeros(n)
    out = np.ones(n, dtype=bool)
    for _ in range(6):
        strokes += out
        past = 1 + (feet + 1) * TOUR.sigma_distance * rng.standard_normal(n)
        side = feet * np.tan(TOUR.sigma_angle_rad * rng.standard_normal(n))
        out &= ~((np.abs(side) < (4.25 - 1.68) / 24) & (past > 0) & (past < 3))
        feet = np.hypot(past, side)
    assert strokes.mean() == pytest.approx(float(COSTS.expected(np.array(20 * FOOT_M))), abs=0.02)


def test_up_and_down_is_the_mean_chance() -> None:
    leaves = np.array([0.0, 8.017]) * FOOT_M
    assert up_and_down(leaves, TOUR) == pytest.approx(0.75, abs=1e-3)
    with pytest.raises(BadQuestion, match="no leave"):
        up_and_down(np.array([]), TOUR)


@given(st.floats(0.005, 0.2))
def test_a_planted_angle_is_found(sigma) -> None:
    feet = np.arange(2.0, 21.0)
    tries = np.full(feet.shape, 1e6)
    makes = tries * AngleModel(sigma, "").make(feet * FOOT_M)
    assert fit_angle(feet, tries, makes, "").sigma_rad == pytest.approx(sigma, rel=1e-4)


def test_impossible_counts_name_their_row() -> None:
    with pytest.raises(BadQuestion, match="Putting row 2: 12 of 10"):
        fit_angle(np.array([2.0, 3.0]), np.array([10.0, 10.0]), np.array([9.0, 12.0]), "")


def test_few_putts_use_the_tour_table_and_say_so() -> None:
    used = own_putting(np.full(39, 2.0), np.zeros(39, dtype=bool))
    assert not used.own
    assert "tour professionals" in used.model.label
    assert "not this player" in used.model.label


def test_enough_putts_find_a_planted_factor() -> None:
    rng = np.random.default_rng(11)
    inside = 0
    for _ in range(40):
        leave = rng.uniform(0.5, 4, 120)
        holed = rng.random(120) < TOUR.scaled(2.1, "").make(leave)
        used = own_putting(leave, holed)
        assert used.own
        assert "own 120 putts" in used.model.label
        inside += used.factor_low < 2.1 < used.factor_high
    assert inside >= 32


def test_putts_without_a_leave_are_refused() -> None:
    with pytest.raises(BadQuestion, match="leave above zero"):
        own_putting(np.array([0.0]), np.array([True]))
