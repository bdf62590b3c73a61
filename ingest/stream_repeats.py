"""Exact repeats across the batches of a large file, without holding its rows.

While the numbers (or instants) of the rows only rise, nothing can repeat and nothing is looked up.
From the first that does not, rows that say which event they are are compared by a 64-bit hash of
all their cells.
"""

import numpy as np
import polars as pl
from numpy.typing import NDArray

from ingest.plan import Plan
from ingest.repeats import NUMBERS, to_the_second
from ingest.table_texts import OUTER

Bools = NDArray[np.bool_]
Lines = NDArray[np.int64]
Hashes = NDArray[np.uint64]
SEED = 11


class RepeatFinder:
    """Fed batch by batch, in order."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._number = next((c.column for c in plan.columns if c.column in NUMBERS), None)
        self._instant = plan.time.column if plan.time is not None and not plan.time.open else None
        self._latest: dict[str, int] = {}
        self._batches: list[tuple[Hashes, Lines]] = []
        self._known: SeenRows | None = None

    def repeats_in(
        self,
        raw: pl.DataFrame,
        frame: pl.DataFrame,
        lines: Lines,
        may: Bools,
    ) -> dict[int, int]:
        """Row → line of the earlier row that it repeats, among the rows that `may` be compared."""
        key = self._number or self._instant
        if key is None and self._plan.time is None:
            return {}
        rising = key is not None and self._rises(frame, key)
        hashes = raw.hash_rows(seed=SEED).to_numpy()
        if self._known is None and rising:
            self._batches.append((hashes[may], lines[may]))
            return {}
        return self._look_up(hashes, lines, raw, may)

    def _rises(self, frame: pl.DataFrame, key: str) -> bool:
        values = frame.get_column(key)
        if values.null_count():
            return False
        whole = values.to_physical().cast(pl.Int64)
        latest = self._latest.get(key)
        first, last = whole[0], whole[-1]
        steps = bool((whole.diff().drop_nulls() > 0).all())
        self._latest[key] = last
        return steps and (latest is None or first > latest)

    def _look_up(
        self, hashes: Hashes, lines: Lines, raw: pl.DataFrame, may: Bools
    ) -> dict[int, int]:
        if self._known is None:
            self._known = SeenRows()
            for earlier in self._batches:
                self._known.add(*earlier)
            self._batches.clear()
        rows = np.flatnonzero(may)
        first = self._known.add(hashes[rows], lines[rows])
        again = first != lines[rows]
        rows, first = rows[again], first[again]
        tells = tells_which_event(self._plan, raw[rows])
        return dict(zip(rows[tells].tolist(), first[tells].tolist(), strict=True))


def tells_which_event(plan: Plan, raw: pl.DataFrame) -> Bools:
    """Which rows name their event: by a number, or by a time to the second. Shape (n,)."""
    tells = np.zeros(raw.height, dtype=bool)
    for column in plan.columns:
        if column.column in NUMBERS:
            cells = raw.to_series(column.index).str.strip_chars(OUTER)
            tells |= (cells != "").to_numpy()
    for index, _, role in plan.time.roles if plan.time is not None else ():
        if tells.all():
            break
        cells = raw.to_series(index).str.strip_chars(OUTER)
        fine = [text for text in cells.unique() if text and to_the_second(text, role)]
        tells |= cells.is_in(fine).to_numpy()
    return tells


class SeenRows:
    """The first line of every row seen, by the hash of its cells: 16 bytes a row.

    Sorted runs, each at least twice as long as the next, so that adding stays cheap.
    """

    def __init__(self) -> None:
        self._runs: list[tuple[Hashes, Lines]] = []

    def add(self, hashes: Hashes, lines: Lines) -> Lines:
        """The line on which each of these rows was seen first, maybe its own. Shape (n,)."""
        unique, at, back = np.unique(hashes, return_index=True, return_inverse=True)
        first = lines[at]
        new = np.ones(len(unique), dtype=bool)
        for known, known_lines in self._runs:
            place = np.minimum(np.searchsorted(known, unique), len(known) - 1)
            found = known[place] == unique
            first = np.where(found, known_lines[place], first)
            new &= ~found
        self._keep(unique[new], first[new])
        return first[back]

    def _keep(self, hashes: Hashes, lines: Lines) -> None:
        while self._runs and len(self._runs[-1][0]) < 2 * len(hashes):
            before, lines_before = self._runs.pop()
            hashes = np.concatenate([before, hashes])
            lines = np.concatenate([lines_before, lines])
            order = np.argsort(hashes, kind="stable")
            hashes, lines = hashes[order], lines[order]
        if len(hashes):
            self._runs.append((hashes, lines))
