"""Roll on tilted greens: closed form against integration, and refusals."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from analytics.errors import BadQuestion, OutOfRange
from analytics.roll import (
    Green,
    equivalent_speed_mps,
    flat_speed_ft,
    roll_path,
    roll_to_rest,
    run_on_other_green,
    slope_pull_mps2,
    stimp_deceleration_mps2,
)

greens = st.builds(
    Green,
    speed_ft=st.floats(6, 13),
    slope_deg=st.floats(0, 2.5),
    fall_deg=st.floats(0, 360),
)


@pytest.mark.parametrize("heading_deg", [-170, -90, -10, 0, 35, 120, 179.9])
def test_rest_agrees_with_integration(heading_deg: float) -> None:
    green = Green(10, 1.7, 70)
    slowing, pull = stimp_deceleration_mps2(10), slope_pull_mps2(1.7)
    fall, start = math.radians(70), math.radians(heading_deg)

    def motion(_t, s):
        speed = math.hypot(s[2], s[3]) + 1e-12
        return [
            s[2],
            s[3],
            -slowing * s[2] / speed + pull * math.cos(fall),
            -slowing * s[3] / speed + pull * math.sin(fall),
        ]

    def stops(_t, s):
        return math.hypot(s[2], s[3]) - 1e-5

    stops.terminal = True
    solved = solve_ivp(
        motion,
        (0, 60),
        [0, 0, 3 * math.cos(start), 3 * math.sin(start)],
        rtol=1e-10,
        atol=1e-12,
        events=stops,
    )
    along, right = roll_to_rest(np.array(3.0), np.array(heading_deg), green)
    assert [along, right] == pytest.approx(solved.y[:2, -1], abs=1e-5)


@given(greens, st.floats(0.3, 5), st.floats(0, 360))
def test_path_starts_at_the_ball_and_ends_at_rest(green, speed, heading) -> None:
    along, right, left = roll_path(np.array([speed]), np.array([heading]), green)
    rest = roll_to_rest(np.array([speed]), np.array([heading]), green)
    assert left[0, 0] == pytest.approx(speed)
    assert left[0, -1] == 0
    assert (along[0, 0], right[0, 0]) == pytest.approx((0, 0), abs=1e-9)
    assert along[0, -1] == pytest.approx(rest[0][0], abs=1e-9)
    assert right[0, -1] == pytest.approx(rest[1][0], abs=1e-9)


@given(greens, st.floats(0.3, 5), st.floats(0, 360))
def test_path_loses_the_energy_that_friction_and_slope_take(green, speed, heading) -> None:
    along, right, left = roll_path(np.array([speed]), np.array([heading]), green, 2000)
    way = np.hypot(np.diff(along[0]), np.diff(right[0])).sum()
    fall = math.radians(green.fall_deg)
    down = along[0, -1] * math.cos(fall) + right[0, -1] * math.sin(fall)
    lost = stimp_deceleration_mps2(green.speed_ft) * way - slope_pull_mps2(green.slope_deg) * down
    assert lost == pytest.approx(speed**2 / 2, rel=2e-3)
    assert left[0, -1] == 0


@given(st.floats(0.1, 15), greens, greens)
def test_a_run_carried_to_another_green_and_back_is_the_same(run, one, other) -> None:
    there = run_on_other_green(np.array(run), one, other)
    assert run_on_other_green(there, other, one) == pytest.approx(run)


def test_a_faster_green_runs_longer_in_proportion_to_its_stimp() -> None:
    assert run_on_other_green(np.array(4.0), Green(8), Green(10)) == pytest.approx(5.0)


def test_spin_back_is_left_as_it_was() -> None:
    assert run_on_other_green(np.array(-0.4), Green(8), Green(12)) == pytest.approx(-0.4)
    assert equivalent_speed_mps(np.array(-0.4), Green(8)) == 0


@pytest.mark.parametrize("speed_ft", [0, -3, 2.9, 17, math.nan])
def test_impossible_green_speeds_are_refused(speed_ft: float) -> None:
    with pytest.raises(BadQuestion, match="outside 3 to 16 ft"):
        stimp_deceleration_mps2(speed_ft)


def test_too_steep_a_slope_says_up_to_where_a_ball_stops() -> None:
    with pytest.raises(OutOfRange, match=r"stops up to 3\.21°"):
        roll_to_rest(np.array(2.0), np.array(0.0), Green(14, 3.5))


def test_flat_speed_needs_two_rolls() -> None:
    with pytest.raises(BadQuestion, match="above zero"):
        flat_speed_ft(0, 9)
