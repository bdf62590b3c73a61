"""Pairing two logs: what is found, what is refused, and what a person settles by hand."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analytics.errors import BadQuestion
from analytics.pairing import Pairing, pair
from analytics.pairing_logs import LaunchLog, SwingLog
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import Session, make_session


def session(scenario: str, seed: int = 1, **changes: object) -> Session:
    return make_session(replace(SCENARIOS[scenario], **changes), np.random.default_rng(seed))


def share_right(one: Session, got: Pairing) -> float:
    right = sum(one.struck.get(found.shot) == found.swing for found in got.pairs)
    return right / max(len(one.struck), len(got.pairs))


@pytest.mark.parametrize(
    "scenario",
    [
        "plain", "one_second", "drift", "step", "hour_step", "misses", "noisy",
        "wrong_day", "switched_off", "two_alternate", "two_blocks", "no_habit", "no_speed",
        "no_tempo", "dirty", "shots_8", "shots_12",
    ],
)  # fmt: skip
def test_related_logs_are_paired(scenario):
    for seed in (1, 2):
        one = session(scenario, seed)
        got = pair(one.launch, one.swings)
        assert got.verdict == "paired", got.reason
        assert share_right(one, got) >= 0.97


def test_two_jumps_of_the_clock_are_followed():
    rng = np.random.default_rng(8)
    time = np.cumsum(30.0 * np.exp(rng.normal(0, 0.4, 60)) + 8.0)
    shot = np.arange(60)
    sensor = time - 77.0 + np.where(shot >= 20, 3.0, 0.0) + np.where(shot >= 41, -64.0, 0.0)
    got = pair(LaunchLog(time), SwingLog(sensor + rng.normal(0, 0.05, 60)))
    assert got.clock is not None
    assert [round(step.size_s) for step in got.clock.steps] == [3, -64]
    assert [step.at_s for step in got.clock.steps] == [time[20], time[41]]
    assert {(p.shot, p.swing) for p in got.pairs} >= {(k, k) for k in range(41)}


@pytest.mark.parametrize(
    "scenario", ["unrelated", "unrelated_8", "unrelated_1s", "unrelated_noisy", "unrelated_equal"]
)
def test_unrelated_logs_are_refused(scenario):
    for seed in (1, 2, 3):
        one = session(scenario, seed)
        got = pair(one.launch, one.swings)
        assert got.verdict != "paired"
        assert got.pairs == ()
        assert "by hand" in got.mend
        assert {row for row, _ in got.unpaired} == set(range(len(one.launch.times_s)))


def test_every_row_has_one_fate():
    one = session("dirty", 3)
    got = pair(one.launch, one.swings)
    swings = [p.swing for p in got.pairs] + [r.swing for r in got.rehearsals]
    swings += [row for row, _ in got.other]
    assert sorted(swings) == list(range(len(one.swings.times_s)))
    shots = [p.shot for p in got.pairs] + [row for row, _ in got.unpaired]
    assert sorted(shots) == list(range(len(one.launch.times_s)))
    assert all(why for _, why in got.other + got.unpaired)


def test_offset_is_sensor_minus_launch_at_the_first_shot():
    one = session("plain", 5, drift_ppm=0.0, offset_s=(3680.0, 3680.0))
    clock = pair(one.launch, one.swings).clock
    assert clock is not None
    # The stamp may mean the start or the end of the swing: a second or so either way.
    assert clock.offset_s == pytest.approx(3680.0, abs=1.8)
    assert clock.start_s == one.launch.times_s.min()
    assert clock.steps == ()


def test_step_is_stated_with_place_and_size():
    one = session("step", 4, step_range_s=(12.0, 12.0))
    clock = pair(one.launch, one.swings).clock
    assert clock is not None
    assert len(clock.steps) == 1
    assert abs(clock.steps[0].size_s) == pytest.approx(12.0, abs=0.3)


@settings(max_examples=12, deadline=None)
@given(shift=st.floats(-1e5, 1e5), swing_shift=st.floats(-1e5, 1e5), data=st.randoms())
def test_only_differences_of_time_count_and_row_order_does_not(shift, swing_shift, data):
    one = session("shots_12", 7)
    plain = pair(one.launch, one.swings)
    order = list(range(len(one.launch.times_s)))
    data.shuffle(order)
    launch = LaunchLog(one.launch.times_s[order] + shift, one.launch.ball_speed_mps[order])
    swings = replace(one.swings, times_s=one.swings.times_s + swing_shift)
    moved = pair(launch, swings)
    assert {(order[p.shot], p.swing) for p in moved.pairs} == {
        (p.shot, p.swing) for p in plain.pairs
    }
    assert moved.clock is not None
    assert plain.clock is not None
    assert moved.clock.offset_s - plain.clock.offset_s == pytest.approx(
        swing_shift - shift, abs=1e-4
    )


def metronome() -> Session:
    """Shots on a beat of whole-second stamps: several offsets fit."""
    one = session("metronome_1s", 3)
    assert pair(one.launch, one.swings).verdict == "ambiguous"
    return one


def test_even_rhythm_is_ambiguous_and_names_the_offsets():
    got = pair(metronome().launch, metronome().swings)
    assert got.pairs == ()
    assert len(got.rivals) >= 2
    assert "too even" in got.reason


def test_one_pair_by_hand_fixes_the_rest():
    one = metronome()
    shot, swing = sorted(one.struck.items())[len(one.struck) // 2]
    got = pair(one.launch, one.swings, pins=[(shot, swing)])
    assert got.verdict == "paired"
    assert share_right(one, got) >= 0.97


def test_offset_by_hand_fixes_the_rest():
    one = metronome()
    first = min(one.struck)
    by_hand = one.swings.times_s[one.struck[first]] - one.launch.times_s[first]
    got = pair(one.launch, one.swings, offset_hint_s=float(by_hand) + 2.0)
    assert got.verdict == "paired"
    assert share_right(one, got) >= 0.97


def test_pins_and_forbids_are_kept_and_the_rest_solved_around_them():
    one = session("plain", 9)
    free = pair(one.launch, one.swings)
    forbidden = free.pairs[3]
    pinned = (free.pairs[7].shot, free.pairs[7].swing - 1)
    got = pair(one.launch, one.swings, pins=[pinned], forbids=[(forbidden.shot, forbidden.swing)])
    found = {p.shot: p.swing for p in got.pairs}
    assert found.get(forbidden.shot) != forbidden.swing
    assert found[pinned[0]] == pinned[1]
    untouched = [p for p in free.pairs if p.shot not in (forbidden.shot, pinned[0])]
    assert all(found.get(p.shot) == p.swing for p in untouched if p.swing != pinned[1])


def test_pins_survive_a_refusal():
    one = session("unrelated", 2)
    got = pair(one.launch, one.swings, pins=[(4, 9)])
    assert (4, 9) in {(p.shot, p.swing) for p in got.pairs}


def test_a_pin_on_a_row_without_a_time_is_a_bad_question():
    launch = LaunchLog(np.array([0.0, 30.0, np.nan, 90.0]))
    swings = SwingLog(np.array([0.0, 30.0, 60.0, 90.0]))
    with pytest.raises(BadQuestion):
        pair(launch, swings, pins=[(2, 2)])
    with pytest.raises(BadQuestion):
        pair(launch, swings, pins=[(0, 0), (1, 0)])


@pytest.mark.parametrize(("shots", "swings"), [(0, 0), (0, 40), (2, 40), (40, 1)])
def test_too_few_events_are_refused(shots, swings):
    launch = LaunchLog(np.arange(shots) * 31.0)
    got = pair(launch, SwingLog(np.arange(swings) * 17.0))
    assert got.verdict == "cannot_pair"
    assert "Too few" in got.reason


def test_rows_without_time_and_doubled_rows_are_named():
    one = session("shots_12", 2)
    times = np.append(one.launch.times_s, [np.nan, one.launch.times_s[0]])
    speeds = np.append(one.launch.ball_speed_mps, [9.0, one.launch.ball_speed_mps[0]])
    got = pair(LaunchLog(times, speeds), one.swings)
    assert dict(got.unpaired)[len(times) - 2] == "no time"
    assert dict(got.unpaired)[len(times) - 1] == "doubled row"
