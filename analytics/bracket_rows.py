"""Triples of a player's swings as columns, each with the rows of the store that it came from."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pyarrow as pa
from numpy.typing import NDArray

from analytics.bracket import Triples
from analytics.bracket_triples import Note, Rehearsal, recognise
from analytics.db import Connection
from analytics.swing_carries import swing_carries

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class RowRef:
    """A row of the store and the line of the file it came from."""

    table: str
    event_id: str
    import_id: str
    source_line: int
    source_name: str | None


@dataclass(frozen=True)
class SwingRow:
    """A swing of a triple: its peak speed in m/s on the sensor's scale, and its row."""

    peak_mps: float
    row: RowRef


@dataclass(frozen=True)
class TripleRow:
    """A ball with its rehearsals: what was recognised, and every row behind it."""

    session_id: str
    ball: int
    club: str | None
    carry_m: float
    mishit: bool
    shot: RowRef
    long: SwingRow | None
    short: SwingRow | None
    strike: SwingRow | None
    probability: float
    notes: tuple[Note, ...]

    @property
    def rows(self) -> tuple[RowRef, ...]:
        """Shot first, then its swings."""
        swings = (self.long, self.short, self.strike)
        return (self.shot, *(swing.row for swing in swings if swing is not None))


SWING_COLUMNS = (
    "shot_event_id", "swing_event_id", "role", "probability", "peak_speed_mps", "import_id",
    "source_line", "source_name",
)  # fmt: skip
BALL_COLUMNS = (
    "event_id", "session_id", "ball", "club", "carry_m", "mishit", "import_id", "source_line",
    "source_name",
)  # fmt: skip


def triple_rows(brackets: pa.Table, balls: pa.Table) -> list[TripleRow]:
    """The triples in `brackets.sql`'s rows, in order of the balls of `landings.sql`."""
    swings: dict[str, SwingRow] = {}
    strikes: dict[str, SwingRow] = {}
    rehearsals: list[Rehearsal] = []
    for order, (shot, event, role, likely, peak, *source) in enumerate(
        _tuples(brackets, SWING_COLUMNS)
    ):
        swing = SwingRow(peak, RowRef("swings", event, *source))
        if role == "strike":
            strikes[shot] = swing
        else:
            swings[event] = swing
            rehearsals.append(Rehearsal(shot, event, order, role, likely))
    recognised = {triple.shot: triple for triple in recognise(rehearsals)}
    out = []
    for event, session, ball, club, carry, mishit, *source in _tuples(balls, BALL_COLUMNS):
        triple = recognised.get(event)
        if triple is None or (triple.long is None and triple.short is None):
            continue
        out.append(
            TripleRow(
                session_id=session,
                ball=ball,
                club=club,
                carry_m=carry,
                mishit=mishit,
                shot=RowRef("shots", event, *source),
                long=swings[triple.long] if triple.long else None,
                short=swings[triple.short] if triple.short else None,
                strike=strikes.get(event),
                probability=triple.probability,
                notes=triple.notes,
            )
        )
    return out


def _tuples(table: pa.Table, names: Sequence[str]) -> Iterator[tuple[Any, ...]]:
    """Rows as tuples of these columns; far cheaper than dictionaries of all of them.

    The types are those of the query; a type checker cannot know them.
    """
    return zip(*(table[name].to_pylist() for name in names), strict=True)


def row_ref(table: str, row: Mapping[str, object], event: str) -> RowRef:
    """Reference to a row by the columns that every query of the feedback carries."""
    name, line = row["source_name"], row["source_line"]
    return RowRef(
        table,
        str(row[event]),
        str(row["import_id"]),
        int(str(line)),
        None if name is None else str(name),
    )


Placed = tuple[Mapping[str, int], Floats, Floats]
"""Session id to number; near and far end of each session's window."""


def triples_of(
    con: Connection, player_id: str, rows: Sequence[TripleRow], placed: Placed
) -> tuple[Triples, float]:
    """The triples as columns, and d ln carry / d ln peak speed of the club most used."""
    index, near, far = placed
    session = np.array([index[row.session_id] for row in rows], dtype=np.int64)
    club = np.empty(3 * len(rows), dtype=np.object_)
    club[:] = [row.club for row in rows] * 3
    peak = np.array(
        [_peak(swing) for side in ("long", "short", "strike") for swing in _side(rows, side)],
        dtype=np.float64,
    )
    known = np.isfinite(peak)
    carries = swing_carries(con, player_id, club[known], peak[known])
    sides = {}
    for name in ("mean_ln", "own_sd_ln", "shared_sd_ln", "reading_sd_ln", "exponent"):
        column = np.full(peak.size, np.nan)
        column[known] = getattr(carries, name)
        sides[name] = column.reshape(3, len(rows))
    long_ln, short_ln, strike_ln = sides["mean_ln"]
    doubts = {name: _first_known(sides[name]) for name in sides if name.endswith("sd_ln")}
    triples = Triples(
        session=session,
        long_ln=long_ln,
        short_ln=short_ln,
        strike_ln=strike_ln,
        carry_m=np.array([np.nan if row.mishit else row.carry_m for row in rows], dtype=float),
        near_m=near[session] if session.size else np.empty(0),
        far_m=far[session] if session.size else np.empty(0),
        **doubts,
    )
    exponents = sides["exponent"][np.isfinite(sides["exponent"])]
    return triples, float(np.median(exponents)) if exponents.size else 1.95


def _side(rows: Sequence[TripleRow], side: str) -> list[SwingRow | None]:
    return [getattr(row, side) for row in rows]


def _peak(swing: SwingRow | None) -> float:
    return float("nan") if swing is None else swing.peak_mps


def _first_known(sides: Floats) -> Floats:
    """Per column the first value known of the three swings; a doubt is the club's, not theirs."""
    out = sides[0].copy()
    for row in sides[1:]:
        unknown = ~np.isfinite(out)
        out[unknown] = row[unknown]
    return np.asarray(out, dtype=np.float64)
