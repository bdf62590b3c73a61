"""Tempo: sampling, ratio, drift, rehearsal against strike, and the link to misses."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.tempo import (
    Tempo,
    decimals_to_show,
    drift,
    link_to_miss,
    ratio_estimate,
    ratio_rounding_sd,
    rehearsal_against_strike,
    sampling_step_s,
)


def swings(seed=1, sessions=6, balls=45, fall=0.0, sd=0.1, step=None, ratio=2.2) -> Tempo:
    rng = np.random.default_rng(seed)
    session = np.repeat(np.arange(sessions), balls)
    ball = np.tile(np.arange(1, balls + 1), sessions).astype(float)
    true = ratio - fall * (ball - 1) / 44 + rng.normal(0, sd, ball.size)
    down = rng.normal(0.33, 0.012, ball.size)
    back = true * down
    if step is not None:
        back, down = np.round(back / step) * step, np.round(down / step) * step
    return Tempo(session, ball, back, down, np.zeros(ball.size, bool))


@pytest.mark.parametrize("rate", [50, 100, 200])
def test_the_sampling_is_found_from_the_times(rate):
    tempo = swings(step=1 / rate)
    assert sampling_step_s(np.concatenate([tempo.backswing_s, tempo.downswing_s])) == 1 / rate


def test_no_sampling_is_made_up():
    assert sampling_step_s(swings().backswing_s) is None
    assert sampling_step_s(np.array([0.7, 0.7, 0.8])) is None


@pytest.mark.parametrize(("rate", "expected"), [(100, 0.04), (50, 0.07)])
def test_one_ratio_scatters_by_sampling_as_a_resampled_swing_does(rate, expected):
    """Start, top and strike rounded to samples: 0.04 at 100 Hz, 0.07 at 50 Hz."""
    rng = np.random.default_rng(3)
    n, step = 200_000, 1 / rate
    back, down = rng.normal(0.726, 0.03, n), rng.normal(0.33, 0.012, n)
    start = rng.uniform(0, 1, n)
    instants = (start, start + back, start + back + down)
    s, t, k = (np.round(instant / step) * step for instant in instants)
    resampled = float(np.std((t - s) / (k - t) - back / down))
    stated = ratio_rounding_sd(0.726, 0.33, step)
    assert stated == pytest.approx(resampled, rel=0.03)
    assert stated == pytest.approx(expected, abs=0.006)


def test_decimals_follow_the_sampling():
    assert [decimals_to_show(sd) for sd in (0.001, 0.04, 0.07, 0.3)] == [2, 1, 1, 0]


def test_the_ratio_is_not_a_mean_of_ratios():
    tempo = Tempo(
        np.zeros(2, int), np.array([1.0, 2.0]), np.array([0.8, 0.8]), np.array([0.2, 0.8]),
        np.zeros(2, bool),
    )  # fmt: skip
    assert ratio_estimate(tempo, rehearsal=False).value == pytest.approx(2.0)


def test_equal_rounded_swings_do_not_give_an_interval_finer_than_the_sampling():
    n = 40
    rng = np.random.default_rng(1)
    back = np.concatenate([np.full(n, 0.72), rng.integers(60, 80, 10) / 50])
    down = np.concatenate([np.full(n, 0.34), np.full(10, 0.34)])
    rehearsal = np.concatenate([np.zeros(n, bool), np.ones(10, bool)])
    tempo = Tempo(np.tile([0, 1], 25), np.arange(50.0), back, down, rehearsal)
    answer = ratio_estimate(tempo, rehearsal=False)
    assert answer.high - answer.value >= ratio_rounding_sd(0.72, 0.34, 0.02) - 1e-12


def test_a_planted_fall_is_covered():
    answer = drift(swings(fall=0.3, sessions=8, step=0.01))
    assert answer.low < -0.3 < answer.high
    assert answer.p_value < 0.001
    assert answer.n_sessions == 8


def test_drift_needs_more_than_one_session():
    assert not drift(swings(sessions=1)).known


@given(st.floats(0.5, 2.0))
def test_drift_of_the_ratio_does_not_depend_on_the_unit_of_time(scale):
    plain = swings(fall=0.2)
    scaled = Tempo(
        plain.session, plain.ball, plain.backswing_s * scale, plain.downswing_s * scale,
        plain.rehearsal,
    )  # fmt: skip
    assert drift(scaled).value == pytest.approx(drift(plain).value, rel=1e-9)


def test_rehearsals_are_compared_with_strikes_of_their_own_day():
    struck = swings(seed=1, sd=0.05)
    day = np.repeat(np.linspace(0.9, 1.1, 6), 45)
    both = Tempo(
        np.concatenate([struck.session, struck.session]),
        np.concatenate([struck.ball, struck.ball]),
        np.concatenate([struck.backswing_s * day, struck.backswing_s * day * 1.04]),
        np.concatenate([struck.downswing_s, struck.downswing_s]),
        np.repeat([False, True], struck.ball.size),
    )
    answer = rehearsal_against_strike(both)
    assert answer.value == pytest.approx(0.04, abs=1e-9)
    assert answer.n_shots == 270


def test_a_link_through_tiring_alone_is_not_shown_as_one():
    """Tempo and miss both follow the ball's number; given the number nothing is left."""
    rng = np.random.default_rng(4)
    session, ball = np.repeat(np.arange(8), 40), np.tile(np.arange(40.0), 8)
    tempo_ln = -0.01 * ball + rng.normal(0, 0.05, ball.size)
    miss = 0.05 * ball + rng.normal(0, 0.3, ball.size)
    answer = link_to_miss(tempo_ln, miss, ball, session)
    assert answer.low < 0 < answer.high
    real = link_to_miss(tempo_ln, miss + 4 * tempo_ln, ball, session)
    assert real.low > 0.2
