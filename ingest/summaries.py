"""Summary rows without a label, proved by arithmetic.

A row that lacks the identity its rows have, and whose every number is the mean (or median, sum,
least, greatest, standard deviation) of the rows above, or of those since the last such row, is not
an event. At least three columns must agree (two in a row that holds nothing else), to half a unit
of the last decimal that was written, over at least two rows; over a single one only where the file
has other rows so proved. A row that an event might equal by chance (coarse numbers, few rows, equal
events) proves nothing: it is kept, unless it is among the file's last and holds nothing but such
numbers. Of that one nobody can tell; it is set aside with a word on how to keep it.
"""

import re
from collections.abc import Callable, Sequence

import numpy as np
import polars as pl
from numpy.typing import NDArray

from ingest.plan import Plan

Floats = NDArray[np.float64]
MAX_TAIL = 8
MIN_ROWS = 2
MIN_COLUMNS = 3
MOST_CANDIDATES = 200
MOST_CHANCE = 0.02
LACKING = 1 / 3
_DECIMALS = re.compile(r"[.,](\d+)\D*$")

STATISTICS: dict[str, Callable[[Floats], float]] = {
    "mean": lambda v: float(np.mean(v)),
    "median": lambda v: float(np.median(v)),
    "sum": lambda v: float(np.sum(v)),
    "least": lambda v: float(np.min(v)),
    "greatest": lambda v: float(np.max(v)),
    "deviation": lambda v: float(np.std(v, ddof=1)) if v.size > 1 else np.nan,
    "deviation of all": lambda v: float(np.std(v)),
    "range": lambda v: float(np.ptp(v)),
}


def unlabelled_summaries(
    plan: Plan, numbers: dict[int, pl.Series], tidy: pl.DataFrame
) -> list[int]:
    """Rows that are summaries. `numbers` are the measured columns, as written, by position."""
    candidates = _without_identity(tidy, identity_columns(plan))
    if not candidates or candidates[0] == 0:
        return []
    values = {index: series.to_numpy() for index, series in numbers.items()}
    proved = _proved(candidates, values, tidy, MIN_ROWS)
    return _proved(candidates, values, tidy, 1) if proved else []


def doubtful_summaries(
    plan: Plan, numbers: dict[int, pl.Series], tidy: pl.DataFrame, proved: set[int]
) -> list[int]:
    """Last rows of bare numbers that are a statistic of all rows above, yet maybe by chance."""
    tail = tail_without_identity(tidy, identity_columns(plan))
    if not tail:
        return []
    values = {index: series.to_numpy() for index, series in numbers.items()}
    above = np.arange(tail[0])
    return [
        row
        for row in tail
        if row not in proved
        and _n_filled(row, tidy) == sum(bool(np.isfinite(v[row])) for v in values.values())
        and above.size >= MIN_ROWS
        and _is_summary(row, above, values, tidy)
    ]


def _n_filled(row: int, tidy: pl.DataFrame) -> int:
    return sum(cell is not None for cell in tidy.row(row))


def _proved(
    candidates: Sequence[int], values: dict[int, Floats], tidy: pl.DataFrame, least: int
) -> list[int]:
    """The candidates that are a statistic of at least `least` rows over them."""
    found: list[int] = []
    events = np.ones(tidy.height, dtype=bool)
    events[list(candidates)] = False
    start = last = 0  # of the block over the run of candidates, and the last candidate
    for row in candidates:
        if row != last + 1:
            start = last
        last = row
        spans = (np.flatnonzero(events[:row]), start + np.flatnonzero(events[start:row]))
        if any(span.size >= least and _is_summary(row, span, values, tidy) for span in spans) and (
            least < MIN_ROWS or not _may_be_chance(row, events, values, tidy)
        ):
            found.append(row)
    return found


def _may_be_chance(
    row: int, events: NDArray[np.bool_], values: dict[int, Floats], tidy: pl.DataFrame
) -> bool:
    """Whether an event like those of the file may well equal some statistic of theirs.

    In each column the chance is at least a step of the last decimal over the spread, and at least
    the share of events that repeat this very number. Each further cell (a club beside the number)
    that all events hold and this row lacks makes an event less likely.
    """
    chance = len(STATISTICS) * LACKING ** max(0, _n_lacking(row, events, values, tidy) - 1)
    for index, column in values.items():
        own = column[events & np.isfinite(column)]
        if not (np.isfinite(column[row]) and own.size):
            continue
        if not own.min() <= column[row] <= own.max():
            return False
        step = 10.0 ** -_decimals(tidy[row, index])
        n_equal = int(np.count_nonzero(np.abs(own - column[row]) < step / 2))
        chance *= max(step / (float(np.ptp(own)) + step), (n_equal - 1) / own.size)
    return chance > MOST_CHANCE


def _n_lacking(
    row: int, events: NDArray[np.bool_], values: dict[int, Floats], tidy: pl.DataFrame
) -> int:
    """Columns beside the measured ones that every event fills and this row does not."""
    own = tidy.row(row)
    others = [i for i, cell in enumerate(own) if cell is None and i not in values]
    return sum(bool(tidy.to_series(i).is_not_null().to_numpy()[events].all()) for i in others)


def _without_identity(tidy: pl.DataFrame, identity: Sequence[int]) -> list[int]:
    """The rows that lack the identity which at least half of the rows have."""
    if not identity or tidy.height < MIN_ROWS + 1:
        return []
    lacks = np.ones(tidy.height, dtype=bool)
    for index in identity:
        lacks &= tidy.to_series(index).is_null().to_numpy()
    rows: list[int] = np.flatnonzero(lacks).tolist()
    return rows if 2 * len(rows) <= tidy.height and len(rows) <= MOST_CANDIDATES else []


def identity_columns(plan: Plan) -> list[int]:
    """The positions of the columns that say which event a row is."""
    found = [c.index for c in plan.columns if c.column in {"device_number", "ball_number"}]
    return found + [i for i, _, role in (plan.time.roles if plan.time else ()) if role != "zone"]


def tail_without_identity(tidy: pl.DataFrame, identity: Sequence[int]) -> list[int]:
    """The last rows that lack the identity which the rows above them have."""
    if not identity or tidy.height < MIN_ROWS + 1:
        return []
    columns = [tidy.to_series(index) for index in identity]
    tail: list[int] = []
    for row in range(tidy.height - 1, max(-1, tidy.height - 1 - MAX_TAIL), -1):
        if any(column[row] is not None for column in columns):
            break
        tail.insert(0, row)
    if not tail or tail[0] == 0:
        return []
    above = tail[0]
    filled = max(above - column[:above].null_count() for column in columns)
    return tail if filled >= 0.8 * above else []


def _is_summary(
    row: int, above: NDArray[np.int64], values: dict[int, Floats], tidy: pl.DataFrame
) -> bool:
    measured = []
    for index, column in values.items():
        over = column[above]
        over = over[np.isfinite(over)]
        if np.isfinite(column[row]) and over.size:
            step = 10.0 ** -_decimals(tidy[row, index])
            measured.append((column[row], over, 0.51 * step))
    bare = _n_filled(row, tidy) == len(measured)
    if len(measured) < MIN_COLUMNS - bare:
        return False
    return any(
        all(abs(statistic(over) - value) <= limit for value, over, limit in measured)
        for statistic in STATISTICS.values()
    )


def _decimals(text: str | None) -> int:
    found = _DECIMALS.search(text or "")
    return len(found[1]) if found else 0
