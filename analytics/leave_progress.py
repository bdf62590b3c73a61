"""Leaves over the weeks: a value with its band per day, the conditions beside it, and the change.

Rules
-----
1. A day is one value: days are compared, never pooled balls. Wet days are shown and left out of the
   change, because a wet green stops the ball and looks like better touch.
2. A change needs six days. Three are looked at, so they are judged together: one is `clear` when
   it stands at a false-discovery rate of 5 %, or when its interval holds none and rules out one
   that would matter (a foot of median leave, 15 points of a share): "no change" is an answer.
3. A break of more than three weeks before a day is marked; what changed across it is not practice
   alone.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from scipy import stats

from analytics.answer import CHANGE, Answer
from analytics.clustered import Estimate, change_over_sessions
from analytics.hole import FOOT_M
from analytics.leave import LeaveSummary
from analytics.leaves import Leaves
from analytics.mark_links import LinkedMark

BREAK_DAYS = 21
MATTERS_M = FOOT_M
MATTERS_SHARE = 0.15
FALSE_DISCOVERIES = 0.05


@dataclass(frozen=True)
class LeaveDay:
    """One dry or damp day: its finishes, its conditions, and whether a break lies before it."""

    day: date
    told: LeaveSummary
    place: str | None
    green_speed_ft: float | None
    wetness: str | None
    after_break: bool


@dataclass(frozen=True)
class LeaveProgress:
    """Days in order, wet days apart, and the change from the first to the last dry day."""

    days: tuple[LeaveDay, ...]
    wet_days: tuple[date, ...]
    median_change: Answer
    below_change: Answer
    near_change: Answer


def leave_progress(told: Leaves) -> LeaveProgress:
    """What a player's leaves did over the weeks."""
    first_of: dict[date, LinkedMark] = {}
    for mark in told.marks:
        if mark.day is not None:
            first_of.setdefault(mark.day, mark)
    ordered = sorted(told.by_day)
    days = tuple(
        _day(day, told.by_day[day], first_of[day], ordered[i - 1] if i else None)
        for i, day in enumerate(ordered)
    )
    wet = sorted(day for day, mark in first_of.items() if mark.wetness == "wet")
    looked = (
        _line(days, lambda one: one.told.median_leave_m),
        _line(days, lambda one: one.told.below.value or 0.0),
        _line(days, lambda one: one.told.near.value or 0.0),
    )
    median, below, near = _judged(
        looked, ("m", "1", "1"), (MATTERS_M, MATTERS_SHARE, MATTERS_SHARE)
    )
    return LeaveProgress(days, tuple(wet), median, below, near)


def _day(day: date, told: LeaveSummary, mark: LinkedMark, before: date | None) -> LeaveDay:
    after_break = before is not None and (day - before).days > BREAK_DAYS
    return LeaveDay(day, told, mark.place, mark.green_speed_ft, mark.wetness, after_break)


def _line(days: Sequence[LeaveDay], value: Callable[[LeaveDay], float]) -> Estimate:
    """Change of one value a day along a straight line over the days."""
    values = np.array([value(one) for one in days], dtype=np.float64)
    order = np.array([one.day.toordinal() for one in days], dtype=np.float64)
    return change_over_sessions(values, order, sum(one.told.n_shots for one in days))


def _judged(
    looked: Sequence[Estimate], units: Sequence[str], matters: Sequence[float]
) -> tuple[Answer, ...]:
    """Changes as answers, judged together (Benjamini and Hochberg 1995)."""
    p = [found.p_value if found.known else 1.0 for found in looked]
    together = stats.false_discovery_control(p)
    return tuple(
        _answer(found, unit, float(q) <= FALSE_DISCOVERIES, most)
        for found, unit, q, most in zip(looked, units, together, matters, strict=True)
    )


def _answer(found: Estimate, unit: str, stands: bool, matters: float) -> Answer:
    n_shots, n_days = found.n_shots, found.n_sessions
    need = CHANGE.need(n_shots, n_days)
    if not found.known:
        return Answer(None, None, None, unit, n_shots, n_days, "too_early", found.level, need)
    low, high = found.low, found.high
    if unit == "1":  # a share cannot change by more than all of it
        low, high = max(low, -1.0), min(high, 1.0)
    none = found.low <= 0 <= found.high and max(-found.low, found.high) < matters
    decided = stands or none
    state = CHANGE.state(n_shots, n_days, decided)
    return Answer(found.value, low, high, unit, n_shots, n_days, state, found.level, need)
