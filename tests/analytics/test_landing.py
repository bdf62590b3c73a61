"""Landing and direction: window, gate, pull and push for both hands, and the miss taken apart."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from analytics.landing import (
    Gate,
    Landed,
    best_share,
    finish_from_leave,
    inside,
    push_deg,
    side_word,
    split_misses,
)


def test_best_share_of_a_foot_either_side_with_a_spread_of_a_foot_and_a_half():
    """Normal table: 2 * 0.74751 - 1 = 0.49501."""
    assert best_share(1.5, -1, 1) == pytest.approx(0.49501, abs=1e-5)


def test_an_off_centre_player_gets_less_than_the_best():
    centred, off = (norm(mean, 1.5).cdf(1) - norm(mean, 1.5).cdf(-1) for mean in (0.0, 1.0))
    assert off < best_share(1.5, -1, 1) == pytest.approx(centred)


def test_the_gate_as_an_angle():
    """27 in at 3 m: (0.6858 / 2 - 0.02134) / 3 = 0.107187, 6.118 degrees."""
    gate = Gate(distance_m=3.0)
    assert gate.angle_deg == pytest.approx(6.118, abs=1e-3)
    assert gate.passed(np.array([-6.2, -6.1, 0.0, 6.1, 6.2])).tolist() == [
        False, True, True, True, False,
    ]  # fmt: skip
    assert gate.best_share(gate.angle_deg) == pytest.approx(0.68269, abs=1e-5)


def test_a_ball_that_cannot_fit_never_passes():
    assert Gate(width_m=0.03, distance_m=2).angle_deg == 0.0


def test_window_ends_count_as_inside():
    assert inside(np.array([5.9, 6.0, 7.0, 7.1]), 6.0, 7.0).tolist() == [False, True, True, False]


@given(st.floats(-10, 10).filter(lambda d: abs(d) > 1e-6))
def test_mirroring_a_left_hander_keeps_the_word_and_turns_the_sign(degrees):
    assert side_word(degrees, "right") == side_word(-degrees, "left")
    assert push_deg(np.array([degrees]), "right") == push_deg(np.array([-degrees]), "left")
    assert side_word(degrees, "right") == ("push" if degrees > 0 else "pull")


def landed(n=40, seed=3) -> Landed:
    rng = np.random.default_rng(seed)
    start = rng.normal(1.0, 2.0, n)
    carry = rng.normal(7.0, 0.6, n)
    return Landed(
        session=np.arange(n) % 4,
        start_right_deg=start,
        carry_m=carry,
        side_m=carry * np.sin(np.radians(start + rng.normal(0, 0.5, n))),
        finish_right_m=rng.normal(0.4, 0.3, n),
        finish_long_m=rng.normal(12.4, 1.0, n),
        meant_carry_m=np.full(n, 7.2),
        meant_total_m=np.full(n, 12.0),
    )


@pytest.mark.parametrize("seed", range(5))
def test_parts_of_a_miss_sum_to_the_whole(seed):
    rows = landed(seed=seed)
    misses = split_misses(rows)
    finish = np.column_stack([rows.finish_right_m, rows.finish_long_m - rows.meant_total_m])
    assert misses.whole == pytest.approx(finish, abs=1e-12)
    assert sum(misses.shares().values()) == pytest.approx(1.0)


def test_a_ball_that_only_ran_too_far_is_all_run():
    one = np.ones(1)
    misses = split_misses(
        Landed(np.zeros(1, int), 0 * one, 7 * one, 0 * one, 0 * one, 14 * one, 7 * one, 12 * one)
    )
    assert misses.shares() == pytest.approx({"aim": 0.0, "start": 0.0, "carry": 0.0, "run": 1.0})
    assert misses.run[0] == pytest.approx([0.0, 2.0])


def test_a_day_of_the_same_pull_is_all_aim():
    start = np.full(5, -3.0)
    right, long = 12 * np.sin(np.radians(start)), 12 * np.cos(np.radians(start))
    misses = split_misses(
        Landed(
            np.zeros(5, int),
            start,
            np.full(5, 7.0),
            7 * np.sin(np.radians(start)),
            right,
            long,
            np.full(5, 7.0),
            np.full(5, 12.0),
        )
    )
    assert misses.shares()["aim"] == pytest.approx(1.0)


def test_a_finish_straight_below_the_hole():
    """Downhill back toward the player (180 degrees): 1 m below the hole is 1 m short of it."""
    right, long = finish_from_leave(
        np.array([12.0]), np.array([1.0]), np.array([0.0]), np.array([180.0])
    )
    assert (right[0], long[0]) == pytest.approx((0.0, 11.0))
