"""Finishes around the hole."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.circular import direction
from analytics.errors import BadQuestion
from analytics.hole import FOOT_M
from analytics.leave import (
    from_clock,
    from_line_of_play,
    off_straight_below_deg,
    summarise,
    to_clock,
    zones,
)
from analytics.putting import TOUR, putt_costs

COSTS = putt_costs(TOUR)
bearings = st.floats(0, 360)


def test_zones_of_hand_placed_balls() -> None:
    leave = np.array([5, 6, 6.1, 3, 3, 3, 0]) * FOOT_M
    bearing = np.array([0, 60, 0, 61, 300, 180, np.nan])
    at = zones(leave, bearing)
    assert at.below.tolist() == [True, True, True, True, True, False, True]
    assert at.near.tolist() == [True, True, False, True, True, True, True]
    assert at.sector.tolist() == [True, True, True, False, True, False, True]
    assert at.leave_zone.tolist() == [True, True, False, False, True, False, True]


@given(bearings)
def test_mirrored_bearings_lie_alike(bearing) -> None:
    mirrored = off_straight_below_deg(np.array([-bearing]))
    assert off_straight_below_deg(np.array([bearing])) == pytest.approx(mirrored, abs=1e-9)


@given(bearings)
def test_the_sector_lies_below_the_hole(bearing) -> None:
    at = zones(np.array([1.0]), np.array([bearing]))
    assert not at.sector[0] or at.below[0]


def test_six_on_the_clock_is_straight_below_and_seven_turns_clockwise() -> None:
    assert [from_clock(hour) for hour in (6, 7, 12, 5)] == [0, 30, 180, 330]
    with pytest.raises(BadQuestion, match="clock face"):
        from_clock(13)


@given(st.floats(-5, 5), st.floats(-5, 5), bearings)
def test_line_of_play_and_fall_line_name_the_same_place(past, right, fall) -> None:
    leave, bearing = from_line_of_play(past, right, fall)
    below, aside = (leave * f(math.radians(bearing)) for f in (math.cos, math.sin))
    turn = math.radians(fall)
    assert below * math.cos(turn) - aside * math.sin(turn) == pytest.approx(past, abs=1e-9)
    assert below * math.sin(turn) + aside * math.cos(turn) == pytest.approx(right, abs=1e-9)


def test_uniform_bearings_fall_in_each_zone_by_chance() -> None:
    """Analytic: on an even grid of bearings a third lies in the sector and half below."""
    bearing = np.arange(0, 360, 0.5) + 0.25
    told = summarise(np.full(bearing.shape, 1.0), bearing, 3, COSTS, TOUR)
    by_name = {one.name: one for one in told.shares}
    sector = by_name["within 60° either side of straight below"]
    assert sector.value == pytest.approx(1 / 3)
    assert sector.by_chance == pytest.approx(1 / 3)
    assert sector.state == "leaning"
    assert by_name["below the hole"].value == pytest.approx(1 / 2)
    assert by_name["leave zone"].value == pytest.approx(1 / 3)
    assert told.bearing.mean_deg is None


def test_a_share_is_clear_when_luck_is_left_out() -> None:
    rng = np.random.default_rng(4)
    bearing = rng.normal(0, 40, 60) % 360
    told = summarise(np.full(60, 1.5), bearing, 2, COSTS, TOUR)
    assert told.shares[0].state == "clear"
    assert told.bearing.p_even < 1e-6
    assert told.bearing.mean_deg is not None


def test_even_leaves_are_called_skill_no_more_often_than_the_level_allows() -> None:
    rng = np.random.default_rng(9)
    called = 0
    for _ in range(300):
        bearing = rng.uniform(0, 360, 40)
        called += summarise(np.full(40, 1.5), bearing, 1, COSTS, TOUR).shares[0].state == "clear"
    assert called / 300 < 0.15


def test_few_balls_are_too_early_and_say_how_many_are_missing() -> None:
    told = summarise(np.array([1.0, 2.0]), np.array([0.0, 10.0]), 1, COSTS, TOUR)
    assert {one.state for one in told.shares} == {"too_early"}
    assert told.shares[0].need == "2 of 20 shots"


def test_holed_balls_are_counted_apart() -> None:
    told = summarise(np.array([0.0, 1.0]), np.array([np.nan, 90.0]), 1, COSTS, TOUR)
    assert told.n_holed == 1
    assert told.bearing.n == 1
    assert told.expected_putts == pytest.approx(float(COSTS.expected(np.array(1.0))) / 2)
    assert "tour professionals" in told.putting_label


@pytest.mark.parametrize(
    ("leave", "bearing"), [(-1.0, 0.0), (61.0, 0.0), (math.nan, 0.0), (1.0, math.nan)]
)
def test_impossible_finishes_name_their_row(leave, bearing) -> None:
    with pytest.raises(BadQuestion, match="Finish 2"):
        zones(np.array([1.0, leave]), np.array([0.0, bearing]))


def test_no_finish_is_refused() -> None:
    with pytest.raises(BadQuestion, match="no finish"):
        summarise(np.array([]), np.array([]), 0, COSTS, TOUR)


@given(st.lists(bearings, min_size=1, max_size=30), bearings)
def test_turning_all_bearings_turns_their_mean(values, turn) -> None:
    one = direction(np.array(values))
    other = direction((np.array(values) + turn) % 360)
    assert other.length == pytest.approx(one.length, abs=1e-9)
    if one.mean_deg is not None and one.length > 1e-6:
        off = (other.mean_deg - one.mean_deg - turn + 180) % 360 - 180
        assert off == pytest.approx(0, abs=1e-4)


@pytest.mark.parametrize("hour", [0.5, 3, 6, 9.25, 12])
def test_an_hour_comes_back_from_its_bearing(hour):
    assert to_clock(from_clock(hour)) == pytest.approx(hour)
