"""Brackets: hand-worked triples, order probabilities, width to hold, and the rehearsal bias."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from analytics.bracket import (
    NO_BIAS_KNOWN,
    RehearsalBias,
    Triples,
    bias_to_correct,
    bracket_odds,
    correction,
    order_probability,
    rehearsal_bias,
    repeatability_ln,
    width_to_hold_ln,
)

NO_BIAS = RehearsalBias(0.0, 0.0)


def triples(long_m, short_m, carry_m, near_m=6.0, far_m=7.0, own=0.05, shared=0.0, **more):
    n = len(long_m)
    return Triples(
        session=np.array(more.get("session", [0] * n)),
        long_ln=np.log(np.array(long_m, float)),
        short_ln=np.log(np.array(short_m, float)),
        strike_ln=np.log(np.array(more.get("strike_m", carry_m), float)),
        carry_m=np.array(carry_m, float),
        near_m=np.full(n, near_m),
        far_m=np.full(n, far_m),
        own_sd_ln=np.full(n, own),
        shared_sd_ln=np.full(n, shared),
        reading_sd_ln=np.full(n, more.get("reading", 0.0)),
    )


def test_a_triple_worked_by_hand():
    """Long 8.0, short 5.5, shot 6.5 m, window 6 to 7 m, 5 % of own doubt, none shared.

    ln(8/7)/0.05 = 2.6706, ln(6/5.5)/0.05 = 1.7402; between: ln(6.5/5.5)/0.05 = 3.3411 and
    ln(8/6.5)/0.05 = 4.1528. Normal table: 0.99621, 0.95909, 0.99958 × 0.99998.
    """
    odds = bracket_odds(triples([8.0], [5.5], [6.5]), NO_BIAS)
    assert odds.long_past[0] == pytest.approx(0.99621, abs=1e-5)
    assert odds.short_of[0] == pytest.approx(0.95909, abs=1e-5)
    assert odds.window_held[0] == pytest.approx(0.99621 * 0.95909, abs=2e-5)
    assert odds.shot_between[0] == pytest.approx(0.99956, abs=2e-5)
    assert odds.width_m[0] == pytest.approx(2.5)
    assert odds.centre_offset_m[0] == pytest.approx(0.25)
    assert odds.shot_place[0] == pytest.approx(np.log(6.5 / 5.5) / np.log(8 / 5.5))


def test_rehearsals_on_the_window_ends_are_coin_tosses():
    odds = bracket_odds(triples([7.0], [6.0], [6.5], own=0.05), NO_BIAS)
    assert odds.long_past[0] == pytest.approx(0.5)
    assert odds.short_of[0] == pytest.approx(0.5)
    assert odds.window_held[0] == pytest.approx(0.25)


def test_a_reversed_pair_holds_nothing():
    odds = bracket_odds(triples([5.5], [8.0], [6.5], own=0.02), NO_BIAS)
    assert odds.window_held[0] < 1e-3
    assert odds.shot_between[0] < 1e-3
    assert odds.width_m[0] == pytest.approx(-2.5)


def test_a_missing_rehearsal_leaves_only_its_own_side_unanswered():
    odds = bracket_odds(triples([8.0], [np.nan], [6.5]), NO_BIAS)
    assert odds.long_past[0] == pytest.approx(0.99621, abs=1e-5)
    for unknown in (odds.short_of, odds.window_held, odds.shot_between, odds.width_m):
        assert np.isnan(unknown[0])


def test_shared_doubt_makes_one_side_pay_for_the_other():
    """With shared doubt only, both cannot fail at once: held = P(long) + P(short) - 1."""
    odds = bracket_odds(triples([7.3], [5.8], [6.5], own=1e-9, shared=0.05), NO_BIAS)
    expected = norm.cdf(np.log(7.3 / 7) / 0.05) + norm.cdf(np.log(6 / 5.8) / 0.05) - 1
    assert odds.window_held[0] == pytest.approx(expected, abs=1e-6)


def test_taking_a_bias_off_moves_both_rehearsals():
    biased = bracket_odds(
        triples([8.0 * 1.05], [5.5 * 1.05], [6.5]), RehearsalBias(np.log(1.05), 0)
    )
    plain = bracket_odds(triples([8.0], [5.5], [6.5]), NO_BIAS)
    for name in ("long_past", "short_of", "shot_between", "window_held", "width_m"):
        assert getattr(biased, name) == pytest.approx(getattr(plain, name))


@pytest.mark.parametrize(
    ("sensor", "expected"),
    [
        (0.01, (0.84, 0.97, 1.00, 1.00)),
        (0.02, (0.54, 0.71, 0.92, 0.995)),
        (0.03, (0.40, 0.54, 0.76, 0.94)),
        (0.05, (0.30, 0.38, 0.54, 0.74)),
    ],
)
def test_order_probability_equals_a_simulated_table(sensor, expected):
    """Swings truly at +k, -k, 0 % of speed (k = 2, 3, 5, 8), simulated apart from this code."""
    assert order_probability([0.02, 0.03, 0.05, 0.08], sensor) == pytest.approx(expected, abs=0.02)


def test_width_to_hold_is_3_9_times_the_scatter():
    """Phi(x)^2 = 0.95 at x = 1.9545."""
    assert width_to_hold_ln(0.06, 1.0, 1.0) == pytest.approx(3.909 * 0.06, abs=1e-4)


@given(st.floats(0.01, 0.2), st.floats(2, 30), st.floats(0.01, 0.5), st.floats(0.55, 0.99))
def test_the_width_to_hold_holds(sd, near, window, hold):
    width = width_to_hold_ln(sd, near, near * np.exp(window), hold)
    each_side = norm.cdf((width - window) / 2 / sd)
    assert each_side**2 == pytest.approx(hold, abs=1e-9)


@given(st.lists(st.tuples(*[st.floats(2, 20)] * 3), min_size=1, max_size=8), st.floats(0, 0.3))
def test_probabilities_are_probabilities_and_hold_needs_both(rows, shared):
    long_m, short_m, carry_m = (list(side) for side in zip(*rows, strict=True))
    odds = bracket_odds(triples(long_m, short_m, carry_m, shared=shared), NO_BIAS_KNOWN)
    for each in (odds.long_past, odds.short_of, odds.shot_between, odds.window_held):
        assert np.all((each >= 0) & (each <= 1))
    assert np.all(odds.window_held <= np.minimum(odds.long_past, odds.short_of) + 1e-9)
    assert np.all(odds.window_held >= odds.long_past + odds.short_of - 1 - 1e-9)


def test_repeatability_is_the_scatter_within_days_and_sides():
    rows = triples([8.0, 8.4, 9.0, 9.2], [5.5, 5.6, 6.0, 6.3], [6.5] * 4, session=[0, 0, 1, 1])
    gaps = np.log([8.4 / 8.0, 9.2 / 9.0, 5.6 / 5.5, 6.3 / 6.0])
    sd, freedom = repeatability_ln(rows)
    assert freedom == 4
    assert sd == pytest.approx(np.sqrt(np.sum(gaps**2 / 2) / 4))


def test_the_bias_is_the_middle_of_the_rehearsals_against_the_strike():
    rows = triples([8.0, 8.8], [5.0, 5.2], [6.5] * 2, strike_m=[6.25, 7.0], session=[0, 1])
    seen = rehearsal_bias(rows)
    assert seen.value == pytest.approx(np.log(6.5 / 6.25) / 2)
    assert seen.n_sessions == 2


def test_a_doubtful_bias_is_hardly_taken_off_and_a_sure_one_is():
    rng = np.random.default_rng(2)
    few = triples([8.0, 8.4], [5.0, 5.3], [6.5] * 2, strike_m=[5.0, 7.9], session=[0, 1])
    assert abs(bias_to_correct(rehearsal_bias(few)).mean_ln) < 0.02
    n, days = 200, np.repeat(np.arange(10), 20)
    strike = np.exp(rng.normal(np.log(6.5), 0.03, n))
    many = triples(
        8.0 * 1.08 * np.ones(n), 5.0 * 1.08 * np.ones(n), strike, strike_m=strike, session=days
    )
    assert bias_to_correct(rehearsal_bias(many)).mean_ln == pytest.approx(np.log(1.08), abs=0.01)


def test_without_any_pair_the_bias_is_unknown_not_nought():
    rows = triples([8.0], [np.nan], [6.5])
    assert bias_to_correct(rehearsal_bias(rows)) == NO_BIAS_KNOWN


def test_a_reading_far_from_the_usual_is_drawn_back_only_for_the_sensors_part():
    """Nine long rehearsals near 8 m, one read at 6.6 m: the odds rise with the sensor's scatter."""
    rng = np.random.default_rng(6)
    long_m = np.append(8.0 * np.exp(rng.normal(0, 0.03, 29)), 6.6)
    known, unknown = (
        bracket_odds(triples(long_m, [5.4] * 30, [6.5] * 30, reading=sd), NO_BIAS).long_past
        for sd in (0.04, 0.0)
    )
    assert unknown[-1] == pytest.approx(norm.cdf(np.log(6.6 / 7.0) / 0.05))
    assert known[-1] > 2 * unknown[-1]


def test_a_first_day_corrects_by_itself_with_more_doubt_than_many_days():
    rng = np.random.default_rng(3)
    n = 60
    middle = 6.5 * 1.08 * np.exp(rng.normal(0, 0.03, n))
    rows = [middle + 1.5, middle - 1.5, np.full(n, 6.5)]
    strikes = list(6.5 * np.exp(rng.normal(0, 0.03, n)))
    one = triples(*rows, strike_m=strikes)
    many = triples(*rows, strike_m=strikes, session=list(np.arange(n) // 10))
    first, later = correction(one), correction(many)
    assert first.mean_ln == pytest.approx(np.log(1.08), abs=0.02)
    assert later.mean_ln == pytest.approx(np.log(1.08), abs=0.02)
    assert first.sd_ln > 2 * later.sd_ln


def test_the_days_struck_balls_move_its_rehearsals_and_shrink_the_shared_doubt():
    """All struck balls of a day went 4 % farther than predicted: so would its rehearsals have."""
    rng = np.random.default_rng(8)
    n = 40
    predicted = 6.5 * np.exp(rng.normal(0, 0.05, n))
    carried = predicted * 1.04 * np.exp(rng.normal(0, 0.02, n))
    rows = [[7.4] * n, [5.6] * n, carried]
    moved = bracket_odds(triples(*rows, strike_m=predicted, shared=0.05), NO_BIAS)
    plain = bracket_odds(triples(*rows, strike_m=carried, shared=0.05), NO_BIAS)
    assert moved.long_m[0] == pytest.approx(7.4 * 1.04, rel=0.01)
    assert moved.long_past[0] > plain.long_past[0]
    assert moved.short_of[0] < plain.short_of[0]
