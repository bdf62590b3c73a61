"""Which stretch of swings belongs to which session: dates may be wrong, logs may be split."""

from dataclasses import replace

import numpy as np

from analytics.pairing_blocks import Block, ByHand, Session, pair_sessions
from analytics.pairing_logs import LaunchLog, SwingLog
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import make_session

DAY_S = 86400.0


def practice(seed, day, sensor_day=None, **changes):
    """A session on a day, its block on the sensor's day, and the true pairs as event ids."""
    setting = replace(SCENARIOS["plain"], offset_s=(-60.0, 60.0), **changes)
    one = make_session(setting, np.random.default_rng(seed))
    launch = replace(one.launch, times_s=one.launch.times_s + day * DAY_S)
    moved = one.swings.times_s + (day if sensor_day is None else sensor_day) * DAY_S
    swings = replace(one.swings, times_s=moved)
    shots = tuple(f"shot{seed}-{row}" for row in range(len(launch.times_s)))
    seen = tuple(f"swing{seed}-{row}" for row in range(len(moved)))
    true = {(shots[a], seen[b]) for a, b in one.struck.items()}
    return Session(f"p:{day}", shots, launch), Block(seen, swings), true


def made(found):
    return {
        (found.session.events[part.shots[p.shot]], part.block.events[p.swing])
        for part in found.parts
        for p in part.pairing.pairs
    }


def right(found, true):
    return len(made(found) & true) / max(len(made(found)), len(true))


def test_each_day_finds_its_own_swings():
    days = [practice(seed, day) for seed, day in ((1, 0), (2, 7), (3, 14))]
    found = pair_sessions([d[0] for d in days], [d[1] for d in reversed(days)], ByHand())
    assert all(right(one, true) > 0.95 for one, (_, _, true) in zip(found, days, strict=True))


def test_a_wrong_date_on_the_sensor_costs_nothing():
    first, second = practice(4, 0), practice(5, 7, sensor_day=-400)
    found = pair_sessions([first[0], second[0]], [second[1], first[1]], ByHand())
    assert right(found[0], first[2]) > 0.95
    assert right(found[1], second[2]) > 0.95


def test_swings_of_another_day_are_not_taken_when_the_own_are_missing():
    session, _, _ = practice(6, 0)
    _, block, _ = practice(7, 7)
    found = pair_sessions([session], [block], ByHand())
    assert found[0].parts[0].pairing.verdict != "paired"


def test_a_sensor_log_in_two_stretches_serves_one_session():
    session, block, true = practice(8, 0)
    half = len(block.events) // 2
    later = block.log.times_s >= block.log.times_s[half]

    def part(keep, shift):
        values = (np.asarray(v)[keep] for v in vars(block.log).values())
        log = SwingLog(*values)
        events = tuple(e for e, k in zip(block.events, keep, strict=True) if k)
        return Block(events, replace(log, times_s=log.times_s + shift))

    found = pair_sessions([session], [part(~later, 0.0), part(later, 9000.0)], ByHand())
    assert len(found[0].parts) == 2
    assert right(found[0], true) > 0.9


def test_what_was_settled_by_hand_is_passed_on():
    session, block, true = practice(9, 0)
    shot, swing = sorted(true)[3]
    other = block.events[block.events.index(swing) - 1]
    forbidden = pair_sessions([session], [block], ByHand(forbids={(shot, swing)}))
    assert (shot, swing) not in made(forbidden[0])
    pinned = pair_sessions([session], [block], ByHand(pins={shot: other}))
    assert (shot, other) in made(pinned[0])


def test_an_offset_by_hand_settles_an_even_rhythm():
    changes = {
        "metronome_jitter_s": 0.1, "launch_resolution_s": 1.0, "swing_resolution_s": 1.0,
        "drift_ppm": 0.0,
    }  # fmt: skip
    session, block, true = practice(3, 0, **changes)
    assert pair_sessions([session], [block], ByHand())[0].parts[0].pairing.verdict == "ambiguous"
    shot, swing = sorted(true)[0]
    offset = block.log.times_s[block.events.index(swing)]
    offset -= session.log.times_s[session.events.index(shot)]
    settled = ByHand(offsets={session.session_id: float(offset)})
    assert right(pair_sessions([session], [block], settled)[0], true) > 0.95


def test_a_session_without_any_swings_says_so_by_having_no_part():
    session = Session("p:0", ("a", "b", "c"), LaunchLog(np.arange(3) * 40.0))
    assert pair_sessions([session], [], ByHand())[0].parts == ()
