"""Uneven lies: attack against the turf, room for the low point, strikes by lie."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.lie_contact import (
    Arc,
    LieShots,
    attack_to_turf_deg,
    low_point_room,
    strikes_by_lie,
)


def test_an_upslope_makes_the_approach_steeper():
    assert attack_to_turf_deg(np.array([-4.0]), np.array([5.0])).tolist() == [-9.0]


def test_room_worked_by_hand():
    """Radius 1.5 m, 4 degrees down: the low point lies 1.5 sin 4 = 0.104635 m past the ball.

    The circle falls 3.6539 mm from the ball to there; met 6 mm above the turf the edge stays
    2.346 mm above it, so no turf is cut: it may lie behind or before by the thin limit's reach,
    sqrt(1.5^2 - (1.5 - 0.018954)^2) = 0.237704 m.
    """
    room = low_point_room(-4.0, 0.0)
    assert room.low_point_m == pytest.approx(0.104635, abs=1e-6)
    assert room.forward_m == pytest.approx(0.237704 - 0.104635, abs=1e-5)
    assert room.playable


def test_a_steep_approach_leaves_less_room_than_a_shallow_one():
    rooms = [low_point_room(-4.0, slope).whole_m for slope in (2.0, 5.0, 10.0, 20.0)]
    assert rooms == sorted(rooms, reverse=True)


def test_a_downslope_steeper_than_the_attack_meets_turf_first():
    assert not low_point_room(-3.0, -12.0).playable
    assert low_point_room(-3.0, 0.0).playable


@given(st.floats(-15, 3), st.floats(-10, 15))
def test_the_strike_stays_between_fat_and_thin_at_both_limits(attack, slope):
    arc = Arc()
    room = low_point_room(attack, slope, arc)
    if not room.playable:
        return
    depth = arc.strike_height_m - (arc.radius_m - np.sqrt(arc.radius_m**2 - room.low_point_m**2))
    thin = room.low_point_m + room.forward_m
    height = depth + arc.radius_m - np.sqrt(arc.radius_m**2 - thin**2)
    assert height == pytest.approx(arc.thin_height_m, abs=1e-9)
    assert room.back_m >= 0


def test_strikes_are_grouped_by_lie_with_mishits_apart():
    n = 60
    rng = np.random.default_rng(1)
    slope = np.tile([0.0, 6.0, np.nan], n // 3)
    shots = LieShots(
        session=np.arange(n) // 15,
        slope_deg=slope,
        attack_deg=np.full(n, -4.0),
        ball_to_club=np.where(slope > 2, 0.95, 1.05) + rng.normal(0, 0.01, n),
        carry_residual_ln=rng.normal(0, 0.05, n),
        mishit=np.arange(n) % 20 == 1,
    )
    level, uphill, unknown = strikes_by_lie(shots)
    assert [g.lie for g in (level, uphill, unknown)] == ["level", "uphill", "unknown"]
    assert (uphill.n_shots, uphill.n_mishit, uphill.n_sessions) == (20, 1, 4)
    assert uphill.attack_to_turf_deg.value == pytest.approx(-10.0)
    assert uphill.ball_to_club.high < level.ball_to_club.low
    assert np.isnan(unknown.attack_to_turf_deg.value)
