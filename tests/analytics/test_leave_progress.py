"""Leaves over the weeks: days compared, wet days apart, breaks shown, no change an answer."""

from datetime import date, timedelta

import numpy as np
import pytest

from analytics.leave_progress import leave_progress
from analytics.leaves import leaves
from tests.analytics.test_leaves import AT, book, mark


def weeks(medians, balls=20, wet=(), gaps=None, seed=1):
    rng = np.random.default_rng(seed)
    marks, sessions, day = [], [], 0
    for week, median in enumerate(medians):
        day += (gaps or {}).get(week, 7)
        for ball in range(balls):
            minute = day * 24 * 60 + ball
            leave = float(median * np.exp(rng.normal(0, 0.4)))
            marks.append(mark(ball, minute, leave, float(rng.uniform(0, 360))))
        when = (AT + timedelta(days=day)).date()
        kind = "wet" if week in wet else "dry"
        sessions.append(
            {
                "player_id": "ana1",
                "day": when,
                "wetness": kind,
                "green_speed_ft": 9.5,
                "event_id": f"d{week}",
            }
        )
    return leave_progress(leaves(book([], marks, sessions), "ana1"))


def test_a_planted_trend_is_covered_and_clear() -> None:
    told = weeks(np.linspace(2.4, 1.2, 8))
    change = told.median_change
    assert change.state == "clear"
    assert change.low < -1.2 < change.high
    assert change.high < 0


def test_no_trend_is_not_called_one_whichever_of_the_three_is_looked_at() -> None:
    called = 0
    for seed in range(50):
        told = weeks([1.8] * 8, seed=seed)
        changes = (told.median_change, told.below_change, told.near_change)
        called += any(one.state == "clear" and not one.low <= 0 <= one.high for one in changes)
    # One report in twenty; seven of fifty would come once in a hundred such tests.
    assert called <= 6


def test_a_narrow_interval_around_nothing_is_a_clear_no_change() -> None:
    told = weeks([1.0] * 8, balls=60)
    assert told.median_change.low < 0 < told.median_change.high
    assert told.median_change.state == "clear"


def test_five_days_are_too_early() -> None:
    told = weeks([2, 2, 1.5, 1.2, 1.0])
    assert told.median_change.state == "too_early"
    assert told.median_change.need == "5 of 6 days"


def test_wet_days_stand_apart_and_breaks_are_marked() -> None:
    told = weeks([1.5] * 7, wet=(3,), gaps={5: 40})
    assert len(told.days) == 6
    assert len(told.wet_days) == 1
    assert [one.after_break for one in told.days] == [False, False, False, False, True, False]
    assert told.days[0].green_speed_ft == pytest.approx(9.5)
    assert isinstance(told.days[0].day, date)
