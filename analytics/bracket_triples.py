"""Triples recognised among the swings before each shot: one meant long, one meant short, the shot.

Rules
-----
1. Only rehearsals between the previous shot and this one count for it.
2. Several of one kind: the last one counts, as the nearest to the shot; how many is kept.
3. Two rehearsals whose intent is not known are taken in the drill's order, long first; the triple
   says so (`assumed`).
4. Short before long is a triple like any other, noted as `reversed`.
5. A missing rehearsal leaves its side empty; what needs both sides is then not answered.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from typing import Literal

Intent = Literal["rehearse_long", "rehearse_short", "rehearse"]
Note = Literal["reversed", "repeated", "missing_long", "missing_short", "assumed"]


@dataclass(frozen=True)
class Rehearsal:
    """A rehearsal attributed to a shot: where it stands in time and what it was meant to be."""

    shot: str
    swing: str
    order: int
    intent: Intent
    probability: float = 1.0


@dataclass(frozen=True)
class Triple:
    """The swings of one shot's bracket; an empty side is None."""

    shot: str
    long: str | None
    short: str | None
    probability: float
    notes: tuple[Note, ...] = field(default=())

    @property
    def complete(self) -> bool:
        """Whether both rehearsals are there."""
        return self.long is not None and self.short is not None


def recognise(rehearsals: Iterable[Rehearsal]) -> list[Triple]:
    """The triples of a session, one per shot that has a rehearsal, in the order of the swings."""
    ordered = sorted(rehearsals, key=lambda r: (r.shot, r.order))
    triples = [
        (group[0].order, _triple(shot, group))
        for shot, rows in groupby(ordered, key=lambda r: r.shot)
        for group in [list(rows)]
    ]
    return [triple for _, triple in sorted(triples, key=lambda pair: pair[0])]


def _triple(shot: str, rows: Sequence[Rehearsal]) -> Triple:
    longs = [r for r in rows if r.intent == "rehearse_long"]
    shorts = [r for r in rows if r.intent == "rehearse_short"]
    notes: list[Note] = []
    if not longs and not shorts and len(rows) >= 2:
        longs, shorts = [rows[-2]], [rows[-1]]
        notes.append("assumed")
    notes += _notes(longs, shorts)
    chosen = [side[-1] for side in (longs, shorts) if side]
    probability = min((r.probability for r in chosen), default=0.0)
    return Triple(
        shot,
        longs[-1].swing if longs else None,
        shorts[-1].swing if shorts else None,
        probability,
        tuple(notes),
    )


def _notes(longs: Sequence[Rehearsal], shorts: Sequence[Rehearsal]) -> list[Note]:
    notes: list[Note] = []
    if len(longs) > 1 or len(shorts) > 1:
        notes.append("repeated")
    if longs and shorts and shorts[-1].order < longs[-1].order:
        notes.append("reversed")
    if not longs:
        notes.append("missing_long")
    if not shorts:
        notes.append("missing_short")
    return notes
