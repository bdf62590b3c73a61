"""What chance reaches: stand-ins keep the rhythm, a shared beat is no relation, jumps must earn."""

from dataclasses import replace

import numpy as np
import pytest

from analytics.pairing import pair
from analytics.pairing_chance import turned
from analytics.pairing_logs import LaunchLog, SwingLog, launch_side
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import Session, make_session


def test_a_stand_in_has_the_same_gaps_in_another_order():
    time = np.cumsum(30.0 * np.exp(np.random.default_rng(1).normal(0, 0.4, 25)))
    shots = launch_side(LaunchLog(time))
    for turn in range(24):
        gaps = np.diff(turned(shots, turn))
        assert np.sort(gaps) == pytest.approx(np.sort(np.diff(time)))
        assert np.abs(gaps - np.diff(time)).max() > 1.0


@pytest.mark.parametrize("jitter_s", [0.05, 0.4, 1.0])
def test_two_players_who_keep_one_beat_are_not_paired(jitter_s):
    """Each keeps a metronome's beat with deviations of her own."""
    for seed in range(4):
        rng = np.random.default_rng(seed)
        beat = rng.uniform(25, 45)
        launch = LaunchLog(np.arange(36) * beat + rng.normal(0, jitter_s, 36))
        swings = SwingLog(np.arange(44) * beat + 500.0 + rng.normal(0, jitter_s, 44))
        got = pair(launch, swings)
        assert got.verdict != "paired"
        assert got.pairs == ()


def test_balls_after_the_sensor_stopped_are_not_given_swings_before_it_by_a_jump():
    for seed in range(6):
        one = make_session(SCENARIOS["half_overlap"], np.random.default_rng(seed))
        got = pair(one.launch, one.swings)
        if got.verdict == "paired":
            assert got.clock is not None
            assert got.clock.steps == ()
            assert all(one.struck.get(p.shot) == p.swing for p in got.pairs)


@pytest.mark.parametrize("size_s", [3600.0, -3600.0])
def test_rehearsals_are_found_on_both_sides_of_an_hour_set_forward_or_back(size_s):
    setting = replace(SCENARIOS["plain"], bracket_share=1.0)
    one = make_session(setting, np.random.default_rng(14))
    half = np.median(one.swings.times_s)
    times = np.where(one.swings.times_s > half, one.swings.times_s + size_s, one.swings.times_s)
    got = pair(one.launch, replace(one.swings, times_s=times))
    true = {swing: shot for swing, (shot, _) in one.rehearsed.items() if shot >= 0}
    found = {r.swing: r.shot for r in got.rehearsals if r.shot is not None}
    hits = sum(true.get(swing) == shot for swing, shot in found.items())
    assert hits / len(true) >= 0.9
    assert hits / len(found) >= 0.9


def _loose(seed: int, unrelated: bool) -> tuple[Session, SwingLog]:
    """Whole-second stamps of unsteady swings among many strays, without speed or tempo."""
    setting = replace(
        SCENARIOS["noisy"], shots=60, with_speed=False, with_tempo=False, unrelated=unrelated,
        launch_resolution_s=1.0, swing_resolution_s=1.0,
    )  # fmt: skip
    rng = np.random.default_rng(seed)
    one = make_session(setting, rng)
    times = np.round(one.swings.times_s + rng.normal(0, 0.4, len(one.swings.times_s)))
    return one, replace(one.swings, times_s=times)


@pytest.mark.parametrize("seed", [2, 19])
def test_many_loose_matches_are_believed_where_no_stand_in_comes_near(seed):
    one, swings = _loose(seed, unrelated=False)
    got = pair(one.launch, swings)
    assert got.verdict == "paired"
    assert np.mean([one.struck.get(p.shot) == p.swing for p in got.pairs]) >= 0.9


@pytest.mark.parametrize("seed", range(4))
def test_as_loose_logs_of_two_sessions_are_not(seed):
    one, swings = _loose(seed, unrelated=True)
    assert pair(one.launch, swings).verdict != "paired"
