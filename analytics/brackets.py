"""A player's brackets: every triple with its odds, day by day, and what holds over the days.

Process (how well the bracket was made) and outcome (where balls landed) are told side by side,
never one as the cause of the other.
"""

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from analytics.answer import CENTRE, Answer
from analytics.bracket import (
    BracketOdds,
    bracket_odds,
    correction,
    repeatability_ln,
    width_to_hold_ln,
)
from analytics.bracket_rows import TripleRow
from analytics.clustered import mean_over_shots
from analytics.discovery import Finding
from analytics.estimate_answers import level_answer, spread_answer
from analytics.feedback import Feedback
from analytics.practice_rows import Session

Floats = NDArray[np.float64]
WidthWord = Literal["wide", "narrow", "about_right", "open"]

PROCESS = ("bracket_width", "bracket_held", "bracket_fit", "rehearsal_bias")
OUTCOME = ("landing_centre", "landing_change", "landing_spread")


@dataclass(frozen=True)
class TripleOdds:
    """One triple, metres of carry; None where a side is missing. `shot_place`: 0 short, 1 long."""

    row: TripleRow
    near_m: float
    far_m: float
    long_m: float | None
    short_m: float | None
    long_past: float | None
    short_of: float | None
    shot_between: float | None
    window_held: float | None
    width_m: float | None
    centre_offset_m: float | None
    shot_place: float | None


@dataclass(frozen=True)
class BracketDay:
    """The brackets of one day; shares are means of the triples' probabilities."""

    session_id: str
    day: date | None
    near_m: float
    far_m: float
    window_given: bool
    n_triples: int
    width_m: Answer
    centre_offset_m: Answer
    window_held: Answer
    long_past: Answer
    short_of: Answer
    shot_between: Answer


@dataclass(frozen=True)
class Brackets:
    """What a player's brackets show.

    width_to_hold_m: width that holds the latest window 95 times in 100 at the player's own
        repeatability; width_word: the latest day's width against it.
    rehearsal_bias: how much faster rehearsals run than strikes, as a share of speed.
    """

    player_id: str
    days: tuple[BracketDay, ...]
    triples: tuple[TripleOdds, ...]
    repeatability_m: Answer
    width_to_hold_m: Answer
    width_word: WidthWord
    rehearsal_bias: Answer
    process: tuple[Finding, ...]
    outcome: tuple[Finding, ...]

    @property
    def last(self) -> TripleOdds | None:
        """The latest triple."""
        return self.triples[-1] if self.triples else None


def brackets(found: Feedback) -> Brackets:
    """The brackets in a player's feedback."""
    read = found.read
    triples = read.practice.triples
    odds = bracket_odds(triples, correction(triples))
    days = tuple(
        _day(session, odds, np.flatnonzero(triples.session == number))
        for number, session in enumerate(read.sessions)
        if np.any(triples.session == number) and np.isfinite(session.near_m)
    )
    repeatability, to_hold = _repeatability(found)
    return Brackets(
        player_id=read.player_id,
        days=days,
        triples=tuple(_triples(found, odds)),
        repeatability_m=repeatability,
        width_to_hold_m=to_hold,
        width_word=_word(days[-1].width_m if days else None, to_hold),
        rehearsal_bias=found.of("rehearsal_bias").answer,
        process=found.some(*PROCESS),
        outcome=found.some(*OUTCOME),
    )


def _triples(found: Feedback, odds: BracketOdds) -> list[TripleOdds]:
    t = found.read.practice.triples
    columns = (
        odds.long_m, odds.short_m, odds.long_past, odds.short_of, odds.shot_between,
        odds.window_held, odds.width_m, odds.centre_offset_m, odds.shot_place,
    )  # fmt: skip
    return [
        TripleOdds(
            row,
            float(t.near_m[i]),
            float(t.far_m[i]),
            *(_finite(column[i]) for column in columns),
        )
        for i, row in enumerate(found.read.triples)
        if np.isfinite(t.near_m[i])
    ]


def _day(session: Session, odds: BracketOdds, rows: NDArray[np.int64]) -> BracketDay:
    one = np.zeros(rows.size, dtype=np.int64)

    def answer(values: Floats, unit: str, within: float) -> Answer:
        return level_answer(mean_over_shots(values[rows], one), unit, CENTRE, within)

    return BracketDay(
        session_id=session.session_id,
        day=session.day,
        near_m=session.near_m,
        far_m=session.far_m,
        window_given=session.window_given,
        n_triples=int(np.isfinite(odds.width_m[rows]).sum()),
        width_m=answer(odds.width_m, "m", 0.3),
        centre_offset_m=answer(odds.centre_offset_m, "m", 0.15),
        window_held=answer(odds.window_held, "1", 0.1),
        long_past=answer(odds.long_past, "1", 0.1),
        short_of=answer(odds.short_of, "1", 0.1),
        shot_between=answer(odds.shot_between, "1", 0.1),
    )


def _repeatability(found: Feedback) -> tuple[Answer, Answer]:
    """Scatter of one rehearsal and the width that follows from it, metres at the last window."""
    triples = found.read.practice.triples
    sd, freedom = repeatability_ln(triples)
    complete = np.isfinite(triples.long_ln) & np.isfinite(triples.short_ln)
    counts = int(complete.sum()), int(np.unique(triples.session[complete]).size)
    if not triples.session.size or freedom < 1:
        nothing = spread_answer(float("nan"), 0, counts, "m")
        return nothing, nothing
    near, far = float(triples.near_m[-1]), float(triples.far_m[-1])
    middle = 0.5 * (near + far)
    spread = spread_answer(sd * middle, freedom, counts, "m")
    assert spread.low is not None
    assert spread.high is not None
    value, low, high = (
        2 * middle * float(np.sinh(width_to_hold_ln(s / middle, near, far) / 2))
        for s in (sd * middle, spread.low, spread.high)
    )
    hold = Answer(value, low, high, "m", *counts, spread.state, spread.level, spread.need)
    return spread, hold


def _word(width: Answer | None, wanted: Answer) -> WidthWord:
    if width is None or "too_early" in (width.state, wanted.state):
        return "open"
    values = (width.low, width.high, wanted.low, wanted.high)
    if any(value is None for value in values):
        return "open"
    low, high, wanted_low, wanted_high = (float(value or 0.0) for value in values)
    if low > wanted_high:
        return "wide"
    return "narrow" if high < wanted_low else "about_right"


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
