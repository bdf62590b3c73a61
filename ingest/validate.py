"""Rows against the limits that `schemas/` states for each column."""

import polars as pl

from ingest.normalise import Fault
from ingest.plan import ColumnPlan, Plan, value_type
from schemas.tables import columns


def out_of_limits(frame: pl.DataFrame, plan: Plan, texts: pl.DataFrame) -> list[Fault]:
    """A fault for each value beyond the limits of its column, in the order of the columns."""
    faults: list[Fault] = []
    limits = columns(plan.table)
    by_column = {column.column: column for column in plan.columns}
    for name in frame.columns:
        column = limits.get(name)
        source = by_column.get(name)
        if (
            column is None
            or source is None
            or value_type(name, plan.kind) not in {"number", "integer"}
        ):
            continue
        series = frame.get_column(name)
        if series.dtype == pl.Null:
            continue
        if column.minimum is not None:
            faults += _faults(series < column.minimum, "below_minimum", source, texts)
        if column.maximum is not None:
            faults += _faults(series > column.maximum, "above_maximum", source, texts)
        if series.dtype.is_float():
            faults += _faults(series.is_infinite(), "unreadable", source, texts)
    return faults


def _faults(bad: pl.Series, code: str, source: ColumnPlan, texts: pl.DataFrame) -> list[Fault]:
    cells = texts.to_series(source.index)
    return [
        Fault(row, source.header, cells[row] or "", code, source.column)
        for row in bad.fill_null(False).arg_true().to_list()
    ]


def limits_text(name: str, table: str) -> str:
    """The limits of a column in words, in SI."""
    column = columns(table)[name]
    unit = f" {column.unit}" if column.unit and column.unit != "1" else ""
    return f"{column.minimum} to {column.maximum}{unit}"
