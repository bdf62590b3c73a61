"""What changed since the last fitting: sessions before against sessions since, never pooled balls.

Rules
-----
1. Per club and over all clubs: carry at the same speed, spread from ball to ball, mishit share.
   Each session gives one value; sides are compared by Welch's t on them, at least three a side.
2. Carry at the same speed is what the session's clean balls carried against the club's curve. The
   spread is the log of a session's SD around it, from sessions with at least four clean balls.
3. "changed" needs an interval without 0 and to pass false-discovery control over everything looked
   at. "no change seen" needs the interval inside what would matter. Else it is leaning.

Sources: Welch, Biometrika 34 (1947) 28; Benjamini and Hochberg, JRSS B 57 (1995) 289.
"""

from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

import numpy as np
from scipy import special

from analytics.answer import Answer, State
from analytics.carry_curve import CurveStack, curve_stack
from analytics.curve_cells import FloatArray
from analytics.db import Connection, ask
from analytics.discovery import benjamini_hochberg
from analytics.errors import NothingYet

Measure = Literal["carry", "spread", "mishits"]
Verdict = Literal["changed", "no_change_seen", "leaning", "too_early"]

SIDE_LEAST = 3
LEVEL = 0.95
FALSE_DISCOVERY = 0.1
MATTERS: dict[Measure, float] = {"carry": 0.05, "spread": 0.35, "mishits": 0.1}
"""What would matter: 5 % of carry, a third of the spread, a tenth more or fewer mishits."""


@dataclass(frozen=True)
class Change:
    """After less before: carry and spread as a share (0.05: 5 % more), mishits as a difference."""

    club: str | None
    measure: Measure
    change: Answer
    verdict: Verdict
    n_before: int
    n_after: int


@dataclass(frozen=True)
class SessionValue:
    """One club's session: value of the measure, balls (mishits too), and whether it is after."""

    club: str
    after: bool
    session_id: str
    value: float
    balls: int


def since_last_fitting(con: Connection, player_id: str, fitted_on: date) -> list[Change]:
    """Changes from sessions before `fitted_on` to those on it and after, all clubs first.

    Raises: NothingYet when the player has no ball with a speed and a carry.
    """
    stack = curve_stack(con)
    days = {
        row["session_id"]: row["day"]
        for row in ask(con, "session_days", {"player_id": player_id}).to_pylist()
    }
    if player_id not in stack.table.players or not days:
        raise NothingYet(
            "There is no dated ball with a speed and a carry yet.",
            "import a launch device's export.",
        )
    found = []
    for measure in MATTERS:
        values = session_values(stack, player_id, measure, days, fitted_on)
        clubs: list[str | None] = [None, *sorted({value.club for value in values})]
        if len(clubs) == 2:
            clubs = clubs[1:]
        found += [(club, measure, _both_sides(values, club)) for club in clubs]
    return [
        replace(one, change=replace(one.change, fit_version=stack.fit_version))
        for one in _judged(found)
    ]


def session_values(
    stack: CurveStack,
    player_id: str,
    measure: Measure,
    days: dict[str, date],
    fitted_on: date,
) -> list[SessionValue]:
    """Every session's value of a measure by club, sessions without a day left out.

    Args:
        stack: fitted curves; player_id: whose sessions; days: day of each session.
        fitted_on: first day that counts as after.
    """
    table, rows = stack.table, stack.table.sessions
    mine = table.players.index(player_id)
    values = []
    for i in range(len(rows.curve)):
        curve = int(rows.curve[i])
        day = days.get(rows.session_id[i])
        if table.player[curve] != mine or day is None:
            continue
        value = _measured(stack, i, measure)
        if value is not None:
            club = table.clubs[table.club[curve]]
            balls = int(rows.n[i] + rows.marked[i])
            values.append(SessionValue(club, day >= fitted_on, rows.session_id[i], value, balls))
    return values


def _measured(stack: CurveStack, i: int, measure: Measure) -> float | None:
    """One session's value of a measure for one club; None when it has too few balls for it."""
    rows, belief = stack.table.sessions, stack.fit.belief
    curve, n = int(rows.curve[i]), float(rows.n[i])
    if measure == "mishits":
        return float(rows.marked[i] / (n + rows.marked[i]))
    a, b = float(belief.level[curve]), float(belief.exponent[curve])
    level = float(stack.table.prior_level[curve])
    if measure == "carry":
        return float(rows.mean_r[i] - level - a - b * rows.mean_x[i]) if n else None
    square = n * (rows.var_r[i] - 2 * b * rows.cov_xr[i] + b**2 * rows.var_x[i])
    if n < 4 or not square > 0:
        return None
    return float(
        0.5 * (np.log(square / (n - 1)) - special.digamma((n - 1) / 2) + np.log((n - 1) / 2))
    )


def _both_sides(values: list[SessionValue], club: str | None) -> tuple[FloatArray, FloatArray, int]:
    """Session values before and after, one per session over the clubs, and the balls behind."""
    sides: list[FloatArray] = []
    for after in (False, True):
        by_session: dict[str, list[SessionValue]] = {}
        for value in values:
            if value.after == after and club in {None, value.club}:
                by_session.setdefault(value.session_id, []).append(value)
        sides.append(
            np.array(
                [
                    np.average([v.value for v in group], weights=[v.balls for v in group])
                    for group in by_session.values()
                ]
            )
        )
    balls = sum(value.balls for value in values if club in {None, value.club})
    return sides[0], sides[1], balls


def _judged(
    found: list[tuple[str | None, Measure, tuple[FloatArray, FloatArray, int]]],
) -> list[Change]:
    tests = [welch(before, after) for _, _, (before, after, _) in found]
    testable = [i for i, test in enumerate(tests) if test is not None]
    p_values = np.array([tests[i][3] for i in testable])  # type: ignore[index]  # None left out
    adjusted = dict(zip(testable, benjamini_hochberg(p_values), strict=True)) if testable else {}
    return [
        _change(club, measure, sides, tests[i], float(adjusted.get(i, 1.0)))
        for i, (club, measure, sides) in enumerate(found)
    ]


def _change(
    club: str | None,
    measure: Measure,
    sides: tuple[FloatArray, FloatArray, int],
    test: tuple[float, float, float, float] | None,
    adjusted: float,
) -> Change:
    before, after, balls = sides
    counts = len(before), len(after)
    if test is None:
        need = f"{min(counts[0], SIDE_LEAST)} of {SIDE_LEAST} days before, "
        need += f"{min(counts[1], SIDE_LEAST)} of {SIDE_LEAST} since"
        empty = Answer(None, None, None, "1", balls, sum(counts), "too_early", LEVEL, need)
        return Change(club, measure, empty, "too_early", *counts)
    limit = MATTERS[measure]
    value, low, high = test[:3]
    verdict: Verdict = "leaning"
    if (low > 0 or high < 0) and adjusted <= FALSE_DISCOVERY:
        verdict = "changed"
    elif -limit <= low and high <= limit:
        verdict = "no_change_seen"
    state: State = "leaning" if verdict == "leaning" else "clear"
    ends = (value, low, high)
    if measure != "mishits":
        ends = (float(np.expm1(value)), float(np.expm1(low)), float(np.expm1(high)))
    return Change(
        club, measure, Answer(*ends, "1", balls, sum(counts), state, LEVEL), verdict, *counts
    )


def welch(before: FloatArray, after: FloatArray) -> tuple[float, float, float, float] | None:
    """Difference of means with its 95 % interval and p-value; None below three sessions a side.

    Source: Welch (1947), degrees of freedom by Satterthwaite.
    """
    if min(len(before), len(after)) < SIDE_LEAST:
        return None
    parts = [float(side.var(ddof=1)) / len(side) for side in (before, after)]
    difference = float(after.mean() - before.mean())
    variance = sum(parts)
    if variance <= 0:
        return difference, difference, difference, 0.0 if difference else 1.0
    dof = variance**2 / sum(
        p**2 / (len(s) - 1) for p, s in zip(parts, (before, after), strict=True)
    )
    half = float(special.stdtrit(dof, 0.5 + LEVEL / 2)) * variance**0.5
    p_value = 2 * float(special.stdtr(dof, -abs(difference) / variance**0.5))
    return difference, difference - half, difference + half, p_value
