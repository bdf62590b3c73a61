"""The carry ladder from swing length alone, its gaps, and what a carry needs."""

import numpy as np
import pytest

from analytics.carry_curve import curve_stack
from analytics.carry_ladder import carry_ladder
from analytics.curve_bands import bands
from analytics.db import in_memory
from analytics.errors import BadQuestion, NoSuchClub, NothingYet
from analytics.gaps import gaps, gaps_between
from analytics.speed_for import speeds_for
from tests.analytics.simulated_players import (
    Balls,
    World,
    connection,
    draw_truth,
    hit,
    one_player,
    shots_table,
)


def rungs(carries, n=24, days=4, sd=0.08, seed=0, day_sd=0.03, mishits=0.0):
    """One player's balls with SW at named lengths whose true carries are `carries`, metres.

    `mishits`: share of the last length's balls that fall a third short.
    """
    rng = np.random.default_rng(seed)
    day = np.arange(n) % days
    shift = rng.normal(0, day_sd, days)
    carry = np.concatenate(
        [c * np.exp(shift[day] + rng.normal(0, sd, n)) for c in carries.values()]
    )
    size = len(carry)
    carry[size - int(mishits * n) :] *= 2 / 3
    balls = Balls(
        np.zeros(size, int),
        np.zeros(size, int),
        np.tile(day, len(carries)),
        np.full(size, np.nan),
        carry,
        np.zeros(size, bool),
    )
    lengths = [name for name in carries for _ in range(n)]
    return in_memory({"shots": shots_table(balls, swing_length=lengths)})


def test_a_ladder_needs_no_speed():
    cells = carry_ladder(rungs({"chest": 10.0, "hip": 6.0}), "p000000")
    assert [cell.name for cell in cells] == ["SW hip", "SW chest"]
    for cell, true in zip(cells, (6.0, 10.0), strict=True):
        assert cell.centre.value == pytest.approx(true, rel=0.08)
        assert cell.one_shot.low < cell.centre.low < cell.centre.value
        assert cell.with_mishits.low < cell.one_shot.low
        assert (cell.centre.n_shots + cell.n_rule, cell.centre.n_sessions) == (24, 4)


def test_balls_without_a_named_length_are_a_rung_of_their_own():
    balls = one_player(n_balls=12, n_days=2, mishits=0.0)[2]
    lengths = ["hip", None] * 6
    names = {c.name for c in carry_ladder(connection(balls, swing_length=lengths), "p000000")}
    assert names == {"SW hip", "SW"}


def test_nine_in_ten_fresh_balls_fall_inside_a_rungs_band():
    world = World(n_players=600, n_balls=15, n_days=3, speeds=(8.0, 9.0), mishits=0.0, seed=4)
    truth = draw_truth(world)
    con = connection(hit(world, truth, 15, 3, 0), swing_length=["hip"] * 600 * 15)
    stack = curve_stack(con, "length", by_swing_length=True)
    fresh = hit(world, truth, 4, 4, 1)
    found = bands(stack, fresh.player, np.full(len(fresh.player), 10.0))
    y = np.log(fresh.carry_m)
    assert 0.87 <= np.mean((y >= found.one_shot[0]) & (y <= found.one_shot[1])) <= 0.93


def test_gaps_are_named_for_what_can_be_said():
    con = rungs({"low": 5.0, "hip": 5.1, "chest": 6.6, "full": 12.0}, n=90, days=9, day_sd=0.01)
    found = gaps(con, "p000000")
    assert [gap.judgement for gap in found] == ["overlap", "clear", "too_wide"]
    assert found[1].difference.low > 0
    assert found[2].difference.value == pytest.approx(5.4, abs=0.4)


def test_gaps_are_said_with_and_without_mishits():
    """Two balls in five of the longer rung fall a third short: all its balls lie nearer."""
    fine = gaps(rungs({"hip": 6.0, "chest": 8.0}, n=40, sd=0.03, day_sd=0.01), "p000000")[0]
    poor = gaps(
        rungs({"hip": 6.0, "chest": 8.0}, n=40, sd=0.03, day_sd=0.01, mishits=0.4), "p000000"
    )[0]
    assert fine.judgement == fine.judgement_with_mishits == "clear"
    assert fine.with_mishits.value == pytest.approx(fine.difference.value, abs=0.1)
    assert poor.difference.value == pytest.approx(2.0, abs=0.15)
    assert poor.with_mishits.value < poor.difference.value - 0.1
    low, high = poor.with_mishits.low, poor.with_mishits.high
    assert low < poor.with_mishits.value < high
    assert high - low > poor.difference.high - poor.difference.low


def test_a_gap_smaller_than_its_interval_is_not_yet_one():
    found = gaps(rungs({"hip": 6.0, "chest": 6.4}, n=12, days=2, sd=0.15, seed=2), "p000000")
    assert found[0].judgement == "not_yet"
    assert found[0].difference.state == "leaning"


def test_a_thin_rung_makes_no_gap_and_says_what_is_missing():
    found = gaps(rungs({"hip": 6.0, "chest": 9.0}, n=8, days=2), "p000000")
    assert found[0].judgement == "too_early"
    assert "8 of 10 shots" in found[0].difference.need
    with pytest.raises(BadQuestion, match="8 %"):
        gaps_between([], 0.05)


def test_a_carry_is_given_a_speed_and_a_swing_length():
    balls = one_player(n_clubs=2, n_balls=40, n_days=4, mishits=0.0)[2]
    lengths = ["hip" if speed < 8 else "chest" for speed in balls.speed_mps]
    con = connection(balls, swing_length=lengths)
    needs = speeds_for(con, "p000000", 9.0)
    assert {need.club for need in needs} == {"SW", "PW"}
    for need in needs:
        assert need.speed.low < need.speed.value < need.speed.high
        assert need.one_shot.low < 9.0 < need.one_shot.high
        assert need.with_mishits.low < need.one_shot.low
        assert need.with_mishits.value < 9.0 < need.with_mishits.high
        assert need.swing_length in {"hip", "chest"}
    only = speeds_for(con, "p000000", 9.0, "PW")
    assert [need.club for need in only] == ["PW"]


def test_a_carry_beyond_a_club_is_refused_with_its_range():
    con = connection(one_player(n_balls=40, n_days=4)[2])
    refused = speeds_for(con, "p000000", 90.0)[0]
    assert (refused.speed, refused.one_shot, refused.with_mishits) == (None, None, None)
    assert "0.7 to 1.4 times" in refused.refused
    with pytest.raises(NoSuchClub):
        speeds_for(con, "p000000", 9.0, "7I")
    with pytest.raises(NothingYet):
        speeds_for(in_memory({}), "p000000", 9.0)
