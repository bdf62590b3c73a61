"""Rehearsals, warm-ups and the rest: which shot, which intent, and why not."""

from dataclasses import replace

import numpy as np
import pytest

from analytics.pairing import Pairing, pair
from analytics.pairing_logs import LaunchLog, SwingLog
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import make_session

STRIKES = np.cumsum(
    [30, 41, 36, 55, 33, 47, 62, 38, 44, 35, 58, 40, 49, 37, 53, 45, 39, 61, 34, 46.0]
)


def logs(
    order: str = "LS", speeds: bool = True, drop: tuple[tuple[int, str], ...] = ()
) -> tuple[LaunchLog, SwingLog, list[tuple[int, str]]]:
    """Twenty shots, each after rehearsals in this order; what each swing was beside the log."""
    factor = {"L": 1.1, "S": 0.9, "P": 0.98, "s": 1.0}
    rows = []
    for shot, at in enumerate(STRIKES):
        base = 10.0 + (shot % 4)
        for back, kind in enumerate(reversed(order), start=1):
            rows.append((at - 5.5 * back + 0.3 * (shot % 3), base * factor[kind], shot, kind))
        rows.append((at, base, shot, "s"))
    rows.append((12.0, 9.0, -1, "w"))
    rows += [(at - 1.9, 3.0, -1, "waggle") for at in STRIKES[::4]]
    rows = sorted(row for row in rows if (row[2], row[3]) not in drop)
    time = np.array([row[0] for row in rows]) + 500.0
    speed = np.array([row[1] for row in rows]) if speeds else np.full(len(rows), np.nan)
    launch = LaunchLog(STRIKES, 10.5 + np.arange(20) % 4)
    return launch, SwingLog(time, speed), [(row[2], row[3]) for row in rows]


def roles(got: Pairing) -> dict[int, tuple[int | None, str]]:
    return {one.swing: (one.shot, one.role) for one in got.rehearsals}


@pytest.mark.parametrize("speeds", [True, False])
def test_long_then_short_before_each_shot(speeds):
    launch, swings, truth = logs(speeds=speeds)
    got = roles(pair(launch, swings))
    names = {"L": "rehearse_long", "S": "rehearse_short"}
    expected = {k: (shot, names[kind]) for k, (shot, kind) in enumerate(truth) if kind in names}
    right = sum(got.get(k) == value for k, value in expected.items())
    assert right >= 0.95 * len(expected)
    assert set(got) <= set(expected)


def test_a_lost_short_rehearsal_leaves_the_long_one_named_by_its_speed():
    launch, swings, truth = logs(drop=((6, "S"), (11, "L")))
    got = roles(pair(launch, swings))
    assert got[truth.index((6, "L"))] == (6, "rehearse_long")
    assert got[truth.index((11, "S"))] == (11, "rehearse_short")


def test_a_repeated_long_rehearsal_is_kept():
    launch, swings, truth = logs(order="LLS")
    got = roles(pair(launch, swings))
    longs = [k for k, (_, kind) in enumerate(truth) if kind == "L"]
    assert np.mean([got.get(k, (None, ""))[0] == truth[k][0] for k in longs]) >= 0.9


def test_rehearsals_of_a_strike_that_the_sensor_missed_still_have_their_shot():
    launch, swings, truth = logs(drop=((8, "s"),))
    got = pair(launch, swings)
    assert 8 in dict(got.unpaired)
    assert roles(got)[truth.index((8, "L"))] == (8, "rehearse_long")


def test_rehearsals_of_a_ball_that_the_launch_device_missed_have_no_shot():
    launch, swings, truth = logs()
    keep = np.arange(20) != 9
    got = roles(pair(LaunchLog(launch.times_s[keep], launch.ball_speed_mps[keep]), swings))
    for kind in "LS":
        assert got.get(truth.index((9, kind)), (None, ""))[0] is None


def test_warm_up_and_waggles_say_what_they_are():
    launch, swings, truth = logs()
    other = dict(pair(launch, swings).other)
    assert other[truth.index((-1, "w"))].startswith("warm_up")
    waggles = [k for k, (_, kind) in enumerate(truth) if kind == "waggle"]
    assert all("too slow" in other[k] for k in waggles)


def test_a_player_who_rehearses_short_before_long_is_named_by_speed():
    launch, swings, truth = logs(order="SL")
    got = roles(pair(launch, swings))
    names = {"L": "rehearse_long", "S": "rehearse_short"}
    expected = {k: (shot, names[kind]) for k, (shot, kind) in enumerate(truth) if kind in names}
    assert sum(got.get(k) == value for k, value in expected.items()) >= 0.95 * len(expected)


def test_rehearsals_of_balls_that_the_launch_device_missed_are_given_to_no_later_one():
    setting = replace(SCENARIOS["plain"], launch_miss=0.4, bracket_share=0.6)
    given = wrong = 0
    for seed in range(10):
        one = make_session(setting, np.random.default_rng(seed))
        got = [r for r in pair(one.launch, one.swings).rehearsals if r.shot is not None]
        given += len(got)
        wrong += sum(one.rehearsed.get(r.swing, (-1, ""))[0] < 0 for r in got)
    assert given > 300
    assert wrong <= 0.03 * given


def test_rehearsals_keep_their_shot_where_the_sensor_misses_many_strikes():
    setting = replace(SCENARIOS["plain"], swing_miss=0.3, launch_miss=0.0)
    lost = kept = 0
    for seed in range(8):
        one = make_session(setting, np.random.default_rng(seed))
        got = {r.swing: r.shot for r in pair(one.launch, one.swings).rehearsals}
        true = {k: shot for k, (shot, _) in one.rehearsed.items() if shot not in one.struck}
        lost += len(true)
        kept += sum(got.get(k) == shot for k, shot in true.items())
    assert lost > 100
    assert kept >= 0.95 * lost


def test_a_swing_before_the_usual_two_leaves_their_intent_and_is_hers_when_a_habit():
    launch, swings, truth = logs(
        order="PLS", drop=tuple((shot, "P") for shot in range(20) if shot % 3)
    )
    got = roles(pair(launch, swings))
    third = [k for k, (_, kind) in enumerate(truth) if kind == "P"]
    assert len(third) == 7
    assert np.mean([got.get(k, (None, ""))[0] == truth[k][0] for k in third]) >= 0.8
    names = {"L": "rehearse_long", "S": "rehearse_short"}
    usual = {k: (shot, names[kind]) for k, (shot, kind) in enumerate(truth) if kind in names}
    assert np.mean([got.get(k) == row for k, row in usual.items()]) >= 0.95
