"""Summary rows without a label, proved by arithmetic.

A row at the end of the table that lacks the identity its rows have, and whose every number is the
mean (or median, sum, least, greatest, standard deviation) of the rows above, is not an event. At
least three columns must agree, to half a unit of the last decimal that was written.
"""

import re
from collections.abc import Callable, Sequence

import numpy as np
import polars as pl
from numpy.typing import NDArray

from ingest.plan import Plan

Floats = NDArray[np.float64]
MAX_TAIL = 8
MIN_ROWS = 3
MIN_COLUMNS = 3
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
    identity = identity_columns(plan)
    tail = tail_without_identity(tidy, identity)
    if not tail or tail[0] < MIN_ROWS:
        return []
    first = tail[0]
    return [row for row in tail if _is_summary(row, first, numbers, tidy)]


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


def _is_summary(row: int, first: int, numbers: dict[int, pl.Series], tidy: pl.DataFrame) -> bool:
    for statistic in STATISTICS.values():
        agree = differ = 0
        for index, series in numbers.items():
            value = series[row]
            above = series[:first].drop_nulls().to_numpy()
            if value is None or above.size < MIN_ROWS:
                continue
            step = 10.0 ** -_decimals(tidy[row, index])
            if abs(statistic(above) - value) <= 0.51 * step:
                agree += 1
            else:
                differ += 1
        if agree >= MIN_COLUMNS and differ == 0:
            return True
    return False


def _decimals(text: str | None) -> int:
    found = _DECIMALS.search(text or "")
    return len(found[1]) if found else 0
