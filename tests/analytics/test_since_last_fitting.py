"""What changed since a fitting: planted changes found, none called where there is none."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from analytics.carry_trend import carry_trends
from analytics.db import in_memory
from analytics.errors import NothingYet
from analytics.since_last_fitting import since_last_fitting, welch
from tests.analytics.simulated_players import DAY_ONE, connection, one_player

FITTED = DAY_ONE.date() + timedelta(days=6)


def changes(seed=1, factor=1.0, **given):
    world = {"n_clubs": 2, "n_balls": 144, "n_days": 12, "mishits": 0.0, "day_sd": 0.02}
    _, _, balls = one_player(seed=seed, **(world | given))
    late = np.where(balls.day >= 6, factor, 1.0)
    balls = replace(balls, carry_m=balls.carry_m * late)
    return since_last_fitting(connection(balls), "p000000", FITTED)


def verdict(found, measure, club=None):
    (one,) = [change for change in found if (change.measure, change.club) == (measure, club)]
    return one


def test_a_planted_change_of_carry_is_called_with_its_size():
    one = verdict(changes(factor=0.88), "carry")
    assert one.verdict == "changed"
    assert one.change.low < -0.12 < one.change.high
    assert (one.n_before, one.n_after) == (6, 6)


def test_no_change_is_an_answer_of_its_own():
    one = verdict(changes(day_sd=0.01, speed_noise=0.0, shot_sd=0.04), "carry")
    assert one.verdict == "no_change_seen"
    assert one.change.state == "clear"


def test_without_any_change_few_are_called():
    called = [
        any(change.verdict == "changed" for change in changes(seed=seed)) for seed in range(20)
    ]
    assert np.mean(called) <= 0.2


def test_too_few_sessions_a_side_are_too_early():
    _, _, balls = one_player(n_balls=40, n_days=4, mishits=0.0)
    found = since_last_fitting(connection(balls), "p000000", DAY_ONE.date() + timedelta(days=2))
    assert {change.verdict for change in found} == {"too_early"}
    assert found[0].change.need == "2 of 3 days before, 2 of 3 since"
    with pytest.raises(NothingYet):
        since_last_fitting(in_memory({}), "p000000", date(2026, 1, 1))


def test_welch_agrees_with_scipy():
    a, b = np.array([1.0, 2.0, 4.0, 3.5]), np.array([2.0, 5.0, 6.0])
    difference, low, high, p_value = welch(a, b)
    reference = stats.ttest_ind(b, a, equal_var=False)
    ends = reference.confidence_interval(0.95)
    assert p_value == pytest.approx(reference.pvalue)
    assert (low, high) == pytest.approx((ends.low, ends.high))
    assert difference == pytest.approx(b.mean() - a.mean())
    assert welch(np.ones(3), np.ones(3)) == (0.0, 0.0, 0.0, 1.0)


def test_a_drift_is_found_and_named_only_after_six_days():
    _, _, balls = one_player(n_balls=144, n_days=12, mishits=0.0, day_sd=0.01)
    drifting = replace(balls, carry_m=balls.carry_m * 1.012**balls.day)
    (trend,) = carry_trends(connection(drifting), "p000000")
    assert trend.per_month.low < 1.012**30 - 1 < trend.per_month.high
    assert trend.per_month.state == "clear"
    few = one_player(n_balls=40, n_days=4, mishits=0.0)[2]
    (early,) = carry_trends(connection(few), "p000000")
    assert early.per_month.need == "4 of 6 days"
    assert carry_trends(in_memory({}), "p000000") == []
