"""What chance reaches: stand-ins keep the rhythm, a shared beat is no relation, jumps must earn."""

from dataclasses import replace

import numpy as np
import pytest

from analytics.pairing import pair
from analytics.pairing_chance import turned
from analytics.pairing_logs import LaunchLog, SwingLog, launch_side
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import make_session


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
