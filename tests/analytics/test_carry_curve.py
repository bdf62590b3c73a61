"""Carry curves against players whose truth is known, and the laws a curve must keep."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analytics.carry_curve import SpeedKind, carry_curve, carry_curves, curve_stack
from analytics.curve_bands import bands
from analytics.curve_cells import PRIOR_EXPONENT
from analytics.errors import BadQuestion, NoSuchClub, NothingYet, OutOfRange
from analytics.new_club import new_club_curve
from analytics.population import ASSUMED
from tests.analytics.simulated_players import (
    Balls,
    World,
    connection,
    draw_truth,
    hit,
    one_player,
)


def covered(world: World, level: float) -> float:
    """Share of fresh clean balls, each on a fresh day, inside the one-shot band."""
    truth = draw_truth(world)
    stack = curve_stack(connection(hit(world, truth, world.n_balls, world.n_days, 0)))
    fresh = hit(world, truth, 4, 4, 1)
    found = bands(stack, fresh.player, fresh.speed_mps, level)
    y = np.log(fresh.carry_m)
    inside = (y >= found.one_shot[0]) & (y <= found.one_shot[1])
    return float(inside[~fresh.mishit].mean())


@pytest.mark.parametrize("speeds", [(5.0, 14.0), (8.0, 10.0)], ids=["spread", "bunched"])
@pytest.mark.parametrize("n_balls", [5, 10, 20, 50])
def test_nine_in_ten_fresh_balls_fall_inside_the_one_shot_band(n_balls, speeds):
    world = World(n_players=1000, n_balls=n_balls, n_days=2, speeds=speeds, seed=7)
    assert 0.87 <= covered(world, 0.9) <= 0.93


def test_mishits_move_the_middle_less_than_a_third_of_what_they_move_the_mean():
    """Eight in a hundred balls fall six feet short of twenty-four."""
    world = World(n_players=300, n_balls=60, n_days=4, mishits=0.08, speeds=(8.0, 9.0))
    loss = float(-np.log(18 / 24))
    world = replace(world, mishit_loss=(loss, 0.0))
    truth = draw_truth(world)
    balls = hit(world, truth, 60, 4, 0)
    whole = replace(balls, carry_m=balls.carry_m * np.exp(balls.mishit * loss))
    at = np.full(world.n_players, 8.5)
    everyone = np.arange(world.n_players)
    moved = bands(curve_stack(connection(balls)), everyone, at).middle
    moved = moved - bands(curve_stack(connection(whole)), everyone, at).middle
    mean_moved = -loss * balls.mishit.mean()
    assert mean_moved < -0.02
    assert abs(moved.mean()) < abs(mean_moved) / 3


def test_a_single_player_is_read_from_the_prior_and_the_rows():
    _, truth, balls = one_player(n_clubs=3, n_balls=60, n_days=4, mishits=0.0)
    curves = carry_curves(connection(balls), "p000000")
    assert [curve.club for curve in curves] == ["9I", "PW", "SW"]
    for curve, club in zip(curves, (2, 1, 0), strict=True):
        at = curve.carry(9.0, 0.99)
        true = np.exp(truth.level[0, club] + truth.exponent[0, club] * np.log(0.9))
        assert at.centre.low < true < at.centre.high
        assert at.one_shot.low < at.centre.low < at.value < at.centre.high < at.one_shot.high
        assert (curve.n_shots + curve.n_rule, curve.n_sessions) == (60, 4)
        assert curve.state in {"clear", "leaning"}


def test_single_curves_say_the_same_as_whole_arrays():
    world = World(n_players=12, n_clubs=2, n_balls=25)
    stack = curve_stack(connection(hit(world, draw_truth(world), 25, 3, 0)))
    found = bands(stack, np.arange(len(stack)), np.full(len(stack), 9.0), 0.8)
    for i in range(len(stack)):
        at = stack.curve(i).carry(9.0, 0.8)
        assert np.log(at.value) == pytest.approx(found.middle[i])
        assert np.log(at.one_shot.high) == pytest.approx(found.one_shot[1][i])
        assert np.log(at.centre.low) == pytest.approx(found.centre[0][i])
        assert np.log(at.with_mishits.low) == pytest.approx(found.with_mishits[0][i], abs=1e-6)


def test_thin_data_is_too_early_and_says_what_is_missing():
    curve = carry_curves(connection(one_player(n_balls=8, n_days=1, mishits=0.0)[2]), "p000000")[0]
    assert curve.state == "too_early"
    assert curve.need == f"{curve.n_shots} of 15 shots, 1 of 2 days"
    assert curve.carry(9.0).centre.need == curve.need


def test_extrapolation_is_refused_with_the_range_stated():
    curve = carry_curves(connection(one_player(n_balls=20)[2]), "p000000")[0]
    low, high = curve.range_mps
    assert low == pytest.approx(0.7 * curve.speed_low_mps)
    for speed in (low * 0.99, high * 1.01):
        with pytest.raises(OutOfRange, match=f"{low:.2f} to {high:.2f} m/s"):
            curve.carry(speed)
    with pytest.raises(OutOfRange):
        curve.speed_for(curve.carry(high).value * 1.1)
    with pytest.raises(BadQuestion):
        curve.speed_for(-1)


def test_a_club_never_hit_is_an_error_with_a_mend():
    with pytest.raises(NoSuchClub, match="Mend"):
        carry_curve(connection(one_player()[2]), "p000000", "7I")


def test_another_club_of_the_player_sharpens_a_thin_one():
    world = World(n_players=200, n_clubs=2, n_balls=30, n_days=3, mishits=0.0)
    truth = draw_truth(world)
    balls = hit(world, truth, 30, 3, 0)
    first = np.arange(len(balls.club)) % 30 == 0
    thin = (balls.club == 1) & first
    both, only = (
        curve_stack(connection(some(balls, np.flatnonzero(rows))), population=ASSUMED)
        for rows in (thin | (balls.club == 0), thin)
    )
    errors = []
    for stack in (both, only):
        of_thin = np.flatnonzero(np.array(stack.table.clubs)[stack.table.club] == "PW")
        level = (stack.table.prior_level + stack.fit.belief.level)[of_thin]
        errors.append(float(np.mean((level - truth.level[:, 1]) ** 2)))
    assert errors[0] < 0.9 * errors[1]


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10_000), n=st.integers(3, 40), spread=st.floats(1.02, 3.0))
def test_the_curve_rises_and_its_inverse_is_the_curve(seed, n, spread):
    balls = one_player(n_balls=n, seed=seed, speeds=(6.0, 6.0 * spread), mishits=0.1)[2]
    curve = carry_curves(connection(balls), "p000000")[0]
    low, high = curve.range_mps
    speeds = np.linspace(low * 1.001, high * 0.999, 7)
    carries = [curve.carry(float(speed)).value for speed in speeds]
    assert np.all(np.diff(carries) > 0)
    for speed, carry in zip(speeds, carries, strict=True):
        back = curve.speed_for(carry)
        assert back.value == pytest.approx(speed, rel=1e-9)
        assert back.low < back.value < back.high


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_row_order_does_not_matter(seed):
    world = World(n_players=10, n_clubs=2, n_balls=12)
    balls = hit(world, draw_truth(world), 12, 3, 0)
    order = np.random.default_rng(seed).permutation(len(balls.player))
    straight, mixed = (curve_stack(connection(b)) for b in (balls, some(balls, order)))
    assert straight.table.players == mixed.table.players
    for name in ("level", "exponent"):
        a, b = (getattr(stack.fit.belief, name) for stack in (straight, mixed))
        assert a == pytest.approx(b, rel=1e-7, abs=1e-9)


@pytest.mark.parametrize("kind", ["club", "ball"])
def test_other_speeds_have_their_own_curve(kind: SpeedKind):
    balls = one_player(n_balls=40, n_days=3, mishits=0.0)[2]
    con = connection(balls, ball_speed_mps=balls.speed_mps * 1.15)
    curve = carry_curves(con, "p000000", kind)[0]
    shift = {"club": 1.0, "ball": 1.15}[kind]
    assert curve.speed_kind == kind
    assert np.isclose(curve.speed_low_mps / shift, balls.speed_mps).any()
    assert np.isclose(curve.speed_high_mps / shift, balls.speed_mps).any()
    assert abs(curve.exponent - PRIOR_EXPONENT) < 0.2


def test_swing_lengths_split_a_club():
    balls = one_player(n_balls=40, n_days=2, mishits=0.0)[2]
    lengths = ["hip" if speed < 9 else "chest" for speed in balls.speed_mps]
    curves = carry_curves(connection(balls, swing_length=lengths), "p000000", by_swing_length=True)
    assert [curve.swing_length for curve in curves] == ["chest", "hip"]
    assert sum(curve.n_shots + curve.n_rule for curve in curves) == 40
    assert curves[1].speed_high_mps < 9 <= curves[0].speed_low_mps


def some(balls: Balls, rows: np.ndarray) -> Balls:
    """The balls at `rows`."""
    return Balls(
        *(
            part[rows]
            for part in (
                balls.player,
                balls.club,
                balls.day,
                balls.speed_mps,
                balls.carry_m,
                balls.mishit,
            )
        )
    )


def test_a_new_club_starts_from_the_players_others_and_its_loft():
    world = World(n_players=1, n_clubs=3, n_balls=60, n_days=5, mishits=0.0, seed=3)
    truth = draw_truth(world)
    balls = hit(world, truth, 60, 5, 0)
    con = connection(some(balls, np.flatnonzero(balls.club != 1)))
    expected = new_club_curve(con, "p000000", "PW")
    assert (expected.club, expected.n_shots, expected.state) == ("PW", 0, "too_early")
    assert expected.need == "0 of 15 shots, 0 of 2 days"
    at = expected.carry(9.0)
    true = np.exp(truth.level[0, 1] + truth.exponent[0, 1] * np.log(0.9))
    assert at.centre.low < true < at.centre.high
    hit_club = carry_curve(con, "p000000", "SW")
    assert expected.covariance[0][0] > 4 * hit_club.covariance[0][0]
    same = new_club_curve(con, "p000000", "SW")
    assert (same.n_shots, same.exponent) == (hit_club.n_shots, pytest.approx(hit_club.exponent))
    steep = new_club_curve(con, "p000000", "LW", 64.0).log_level
    assert steep < new_club_curve(con, "p000000", "LW", 58.0).log_level
    with pytest.raises(NothingYet):
        new_club_curve(con, "nobody", "PW")


def test_own_days_are_told_from_three_days_on():
    few = carry_curves(connection(one_player(n_balls=30, n_days=2)[2]), "p000000")[0]
    assert few.own_days is None
    many = one_player(n_balls=300, n_days=15, mishits=0.0, day_sd=0.06, shot_sd=0.05)[2]
    own = carry_curves(connection(many), "p000000")[0].own_days
    assert own.day_sd == pytest.approx(0.06, rel=0.5)
    assert own.shot_sd == pytest.approx(0.063, rel=0.35)
