"""Exact repeats across the batches of a large file, without holding its rows.

While the numbers (or instants) of the rows only rise, nothing can repeat and nothing is looked up.
From the first that does not, rows that say which event they are are compared by a 64-bit hash of
all their cells.
"""

import numpy as np
import polars as pl
from numpy.typing import NDArray

from ingest.plan import Plan

Bools = NDArray[np.bool_]
SEED = 11


class RepeatFinder:
    """Fed batch by batch, in order."""

    def __init__(self, plan: Plan) -> None:
        self._number = next(
            (c.column for c in plan.columns if c.column in {"device_number", "ball_number"}), None
        )
        self._instant = plan.time.column if plan.time is not None and not plan.time.open else None
        self._latest: dict[str, int] = {}
        self._batches: list[tuple[pl.Series, NDArray[np.int64], Bools]] = []
        self._known: dict[int, int] | None = None

    def repeats_in(
        self,
        raw: pl.DataFrame,
        frame: pl.DataFrame,
        lines: NDArray[np.int64],
        may: Bools,
    ) -> dict[int, int]:
        """Row → line of the earlier row that it repeats, among the rows that `may` be compared."""
        key = self._number or self._instant
        if key is None:
            return {}
        rising = self._rises(frame, key)
        hashes = raw.hash_rows(seed=SEED)
        if self._known is None and rising:
            self._batches.append((hashes, lines, may.copy()))
            return {}
        return self._look_up(hashes, lines, self._has_identity(frame), may)

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

    def _has_identity(self, frame: pl.DataFrame) -> pl.Series:
        keys = [k for k in (self._number, self._instant) if k is not None and k in frame.columns]
        return frame.select(pl.any_horizontal(pl.col(k).is_not_null() for k in keys)).to_series()

    def _look_up(
        self, hashes: pl.Series, lines: NDArray[np.int64], has_identity: pl.Series, may: Bools
    ) -> dict[int, int]:
        known = self._known if self._known is not None else self._catch_up()
        self._known = known
        found: dict[int, int] = {}
        for row, key in enumerate(hashes.to_list()):
            if not may[row]:
                continue
            first = known.get(key)
            if first is None:
                known[key] = int(lines[row])
            elif has_identity[row]:
                found[row] = first
        return found

    def _catch_up(self) -> dict[int, int]:
        """All rows seen so far, now that one may repeat them."""
        known: dict[int, int] = {}
        for hashes, lines, may in self._batches:
            for row, key in enumerate(hashes.to_list()):
                if may[row]:
                    known.setdefault(key, int(lines[row]))
        self._batches.clear()
        return known
