"""Rows against the limits that `schemas/` states for each column."""

import numpy as np
import polars as pl

from ingest.normalise import Fault
from ingest.number_columns import SMALL
from ingest.plan import ColumnPlan, Plan, value_type
from schemas.tables import columns


def out_of_limits(frame: pl.DataFrame, plan: Plan, texts: pl.DataFrame) -> list[Fault]:
    """A fault for each value beyond the limits of its column, in the order of the columns."""
    limits = columns(plan.table)
    checks: list[tuple[pl.Expr, str, ColumnPlan]] = []
    for source in plan.columns:
        column = limits.get(source.column)
        if column is None or not _has_numbers(frame, source, plan):
            continue
        cell = pl.col(source.column)
        if column.minimum is not None:
            checks.append((cell < column.minimum, "below_minimum", source))
        if column.maximum is not None:
            checks.append((cell > column.maximum, "above_maximum", source))
    if not checks or (frame.height <= SMALL and _all_within(frame, plan)):
        return []
    bad = frame.select(check.any().alias(str(at)) for at, (check, _, _) in enumerate(checks)).row(0)
    faults: list[Fault] = []
    for any_bad, (check, code, source) in zip(bad, checks, strict=True):
        if any_bad:
            rows = frame.select(check.fill_null(False)).to_series().arg_true().to_list()
            cells = texts.to_series(source.index)
            faults += [
                Fault(row, source.header, cells[row] or "", code, source.column) for row in rows
            ]
    return faults


def _all_within(frame: pl.DataFrame, plan: Plan) -> bool:
    """Whether a short frame holds nothing out of limits: a look that needs no query."""
    limits = columns(plan.table)
    for source in plan.columns:
        column = limits.get(source.column)
        if column is None or not _has_numbers(frame, source, plan):
            continue
        values = frame.get_column(source.column).to_numpy()
        low = -np.inf if column.minimum is None else column.minimum
        high = np.inf if column.maximum is None else column.maximum
        if ((values < low) | (values > high)).any():
            return False
    return True


def _has_numbers(frame: pl.DataFrame, source: ColumnPlan, plan: Plan) -> bool:
    numeric = value_type(source.column, plan.kind) in {"number", "integer"}
    return numeric and not source.open and source.column in frame.columns


def limits_text(name: str, table: str) -> str:
    """The limits of a column in words, in SI."""
    column = columns(table)[name]
    unit = f" {column.unit}" if column.unit and column.unit != "1" else ""
    return f"{column.minimum} to {column.maximum}{unit}"
