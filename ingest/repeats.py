"""Exact repeats inside one file, told from two real equal events.

Rules
- A row whose every cell equals an earlier row's is an exact repeat only if the row says which event
  it is: the device's own number, or an instant written to the second or finer. No player strikes
  the same numbered ball, or two balls in one second.
- Rows without such an identity that are equal in every cell are equal events: all are kept, told
  apart by their occurrence.
"""

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

import polars as pl

from ingest.number_columns import SMALL
from ingest.plan import Plan
from ingest.times import read_stamp

NUMBERS = frozenset({"device_number", "ball_number"})


class Repeat(NamedTuple):
    """A line that repeats an earlier one, cell by cell."""

    line: int
    of_line: int


def find_repeats(plan: Plan, tidy: pl.DataFrame, may: Sequence[bool]) -> dict[int, int]:
    """Row → earlier row that it repeats. `may` marks the rows that are compared."""
    if tidy.height < 2:
        return {}
    again = _equal_rows(tidy, may)
    first: dict[tuple[object, ...], int] = {}
    found: dict[int, int] = {}
    for row in again:
        key = tidy.row(row)
        if key not in first:
            first[key] = row
        elif _has_identity(plan, tidy, row):
            found[row] = first[key]
    return found


def _equal_rows(tidy: pl.DataFrame, may: Sequence[bool]) -> list[int]:
    """The rows that are equal to another one in every cell."""
    if tidy.height <= SMALL:
        counts = Counter(cells for cells, ok in zip(tidy.iter_rows(), may, strict=True) if ok)
        if len(counts) == sum(may):
            return []
        rows = enumerate(zip(tidy.iter_rows(), may, strict=True))
        return [row for row, (cells, ok) in rows if ok and counts[cells] > 1]
    index = pl.Series("row", may).arg_true()
    among = tidy[index]
    return index.filter(~among.is_unique()).to_list()


def _has_identity(plan: Plan, tidy: pl.DataFrame, row: int) -> bool:
    for column in plan.columns:
        numbered = column.column in NUMBERS
        if numbered and tidy[row, column.index] is not None:
            return True
    return plan.time is not None and any(
        to_the_second(tidy[row, index], role) for index, _, role in plan.time.roles
    )


def to_the_second(text: str | None, role: str) -> bool:
    """Whether a cell of this role of a time plan names one second or less."""
    if text is None or role in {"date", "zone"}:
        return False
    if role == "elapsed" or role.startswith("epoch"):
        return True
    stamp = read_stamp(text)
    return stamp is not None and stamp.has_seconds
