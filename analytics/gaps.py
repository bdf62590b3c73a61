"""Gaps and overlaps between neighbouring rungs of the carry ladder.

Rules
-----
1. Neighbours are rungs next to each other by centre. Their difference is judged on ln carry with
   its 95 % band, so that of truly equal rungs at most one pair in twenty is called different.
2. `clear`: the band leaves out no difference. `too_wide`: all of it lies above the widest gap asked
   for (35 % of carry unless said otherwise). `overlap`: all of it lies within ±8 %, so the two do
   the same work. `not_yet`: none of these can be said. A rung below its minimum is `too_early`.
3. The same is said of the middles of all balls, mishits counted in: a rung that is mishit more
   often lies nearer than its clean balls do. What is not known of a rung's share of mishits widens
   its band, by as much as the median of its balls moves with it.
4. Two rungs played on the same days share their days; nothing is taken off the band for it, so the
   judgement errs to the careful side.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from scipy import stats

from analytics.answer import Answer, State
from analytics.carry_ladder import LadderCell, carry_ladder
from analytics.db import Connection
from analytics.errors import BadQuestion
from analytics.mishits import SHARE_BEFORE, SHARE_WORTH

Judgement = Literal["clear", "too_wide", "overlap", "not_yet", "too_early"]

LEVEL = 0.95
PRIOR_DAYS = 4
"""Days that what is known of day-to-day spread beforehand is worth, when days decide."""

SAME = math.log(1.08)
WIDEST = 0.35


@dataclass(frozen=True)
class Gap:
    """Difference in carry from the shorter to the longer of two neighbouring rungs, metres.

    difference, judgement: of the middles of clean balls; with_mishits, judgement_with_mishits: of
    the middles of all balls.
    """

    shorter: LadderCell
    longer: LadderCell
    difference: Answer
    judgement: Judgement
    with_mishits: Answer
    judgement_with_mishits: Judgement


def gaps(con: Connection, player_id: str, widest: float = WIDEST) -> list[Gap]:
    """Gaps between the player's neighbouring rungs, shortest pair first.

    Args:
        con: views of `analytics.db`.
        player_id: whose ladder.
        widest: gap above which it is too wide, as a share of the shorter carry.

    Raises: BadQuestion when `widest` is not above the 8 % that count as the same.
    """
    return gaps_between(carry_ladder(con, player_id), widest)


def gaps_between(ladder: Sequence[LadderCell], widest: float = WIDEST) -> list[Gap]:
    """The same from a ladder that is already there."""
    if not math.log1p(widest) > SAME:
        raise BadQuestion(
            f"A widest gap of {100 * widest:.0f} % is within what counts as the same (8 %).",
            "ask for a wider one.",
        )
    return [_gap(shorter, longer, widest) for shorter, longer in pairwise(ladder)]


def _gap(shorter: LadderCell, longer: LadderCell, widest: float) -> Gap:
    clean = _apart(shorter, longer, widest, _clean_middle)
    return Gap(shorter, longer, *clean, *_apart(shorter, longer, widest, _any_middle))


def _clean_middle(rung: LadderCell) -> tuple[float, float]:
    """Middle of clean balls as ln carry, and its standard deviation."""
    return rung.log_centre, rung.log_centre_sd


def _any_middle(rung: LadderCell) -> tuple[float, float]:
    """The same of all balls: a share of mishits more moves a normal median by √(π/2)·SD·share."""
    assert rung.with_mishits.value is not None
    marked = rung.n_coach + rung.n_rule
    balls = rung.centre.n_shots + marked + SHARE_WORTH
    share = (marked + SHARE_BEFORE * SHARE_WORTH) / balls
    share_sd = math.sqrt(share * (1 - share) / balls)
    moved = math.sqrt(math.pi / 2) * math.hypot(rung.day_sd, rung.shot_sd) * share_sd
    return math.log(rung.with_mishits.value), math.hypot(rung.log_centre_sd, moved)


def _apart(
    shorter: LadderCell,
    longer: LadderCell,
    widest: float,
    middle: Callable[[LadderCell], tuple[float, float]],
) -> tuple[Answer, Judgement]:
    (near, near_sd), (far, far_sd) = middle(shorter), middle(longer)
    step, sd = far - near, math.hypot(near_sd, far_sd)
    days = shorter.centre.n_sessions + longer.centre.n_sessions
    dof = min(shorter.dof, longer.dof, days + PRIOR_DAYS)
    t = float(stats.t.ppf(0.5 + LEVEL / 2, dof))
    low, high = step - t * sd, step + t * sd
    early = "too_early" in {shorter.centre.state, longer.centre.state}
    judgement = _judge(low, high, widest, early)
    base = math.exp(near)
    states: dict[Judgement, State] = {"too_early": "too_early", "not_yet": "leaning"}
    needs = [f"{rung.name}: {rung.centre.need}" for rung in (shorter, longer) if rung.centre.need]
    difference = Answer(
        base * math.expm1(step),
        base * math.expm1(low),
        base * math.expm1(high),
        "m",
        shorter.centre.n_shots + longer.centre.n_shots,
        min(shorter.centre.n_sessions, longer.centre.n_sessions),
        states.get(judgement, "clear"),
        LEVEL,
        "; ".join(needs),
        shorter.centre.fit_version,
    )
    return difference, judgement


def _judge(low: float, high: float, widest: float, early: bool) -> Judgement:
    if early:
        return "too_early"
    if low > math.log1p(widest):
        return "too_wide"
    if low >= -SAME and high <= SAME:
        return "overlap"
    return "clear" if low > 0 else "not_yet"
