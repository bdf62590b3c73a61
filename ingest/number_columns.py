"""Columns of numbers: regular cells at once, the rest cell by cell by `ingest/numbers.py`."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cache

import polars as pl

from ingest.numbers import Number, read_number
from ingest.units import Dimension

_PLAIN = {
    ".": r"^[+-]?(?:\d+(?:\.\d*)?|\.\d+)$",
    ",": r"^[+-]?(?:\d+(?:,\d*)?|,\d+)$",
    None: r"^[+-]?\d+$",
}
_STARTS = re.compile(r"^[^0-9]{0,8}[0-9]")

LONGEST_PLAIN = 300
SMALL = 2000
"""Rows up to which plain loops are quicker than vectorised queries."""


def plain_share(cells: Sequence[str]) -> float:
    """The share of cells (none missing) that start like a number: is this a numeric column?"""
    if not cells:
        return 0.0
    return sum(map(bool, map(_STARTS.match, cells))) / len(cells)


@dataclass(frozen=True)
class NumberColumn:
    """A column of cells read: values in `units` (None = the column's own), faults by row."""

    values: pl.Series
    units: dict[int, str]
    sides: dict[int, int]
    faults: dict[int, str]
    marked: dict[int, str]
    relative: set[int] = field(default_factory=set)


def read_column(
    texts: pl.Series, decimal: str | None, dimension: Dimension, signed_side: bool = False
) -> NumberColumn:
    """Read tidied cells: regular ones at once, the rest text by text.

    A row in `faults` has a null value and a code: `unreadable`, `two_meanings`, `decimal_open`.
    """
    if texts.len() <= SMALL:
        return _read_few(texts, decimal=decimal, dimension=dimension, signed_side=signed_side)
    plain = texts.str.contains(_PLAIN[decimal])
    body = texts.str.replace_all(",", ".", literal=True) if decimal == "," else texts
    values = body.set(~plain, None).cast(pl.Float64, strict=False)
    column = NumberColumn(values, {}, {}, {}, {})
    irregular = (~plain).fill_null(False)
    if not irregular.any():
        return column
    return _fill_irregular(
        column, texts, irregular, decimal=decimal, dimension=dimension, signed_side=signed_side
    )


def _read_few(
    texts: pl.Series, *, decimal: str | None, dimension: Dimension, signed_side: bool
) -> NumberColumn:
    """A short column, cell by cell: quicker than setting up a vectorised query."""
    match = _plain_pattern(decimal).match
    column = NumberColumn(texts, {}, {}, {}, {})
    values: list[float | None] = []
    for row, text in enumerate(texts.to_list()):
        if text is None:
            values.append(None)
        elif match(text) and len(text) < LONGEST_PLAIN:
            values.append(float(text.replace(",", ".")))
        else:
            number = read_number(text, decimal, dimension, signed_side)
            values.append(number.value)
            _note(column, row, text, number)
    filled = pl.Series(texts.name, values, dtype=pl.Float64)
    return replace(column, values=filled)


@cache
def _plain_pattern(decimal: str | None) -> re.Pattern[str]:
    return re.compile(_PLAIN[decimal], re.ASCII)


def _note(column: NumberColumn, row: int, text: str, number: Number) -> None:
    """Put down what a cell says beside its value."""
    if number.fault:
        column.faults[row] = number.fault
    if number.unit:
        column.units[row] = number.unit
    if number.side:
        column.sides[row] = number.side
    if number.relative:
        column.relative.add(row)
    if number.marked:
        column.marked[row] = text


def _fill_irregular(
    column: NumberColumn,
    texts: pl.Series,
    irregular: pl.Series,
    *,
    decimal: str | None,
    dimension: Dimension,
    signed_side: bool,
) -> NumberColumn:
    rows = irregular.arg_true()
    values: list[float | None] = []
    for row, text in zip(rows.to_list(), texts.gather(rows).to_list(), strict=True):
        number = read_number(text, decimal, dimension, signed_side)
        values.append(number.value)
        _note(column, row, text, number)
    filled = column.values.scatter(rows, pl.Series(values, dtype=pl.Float64))
    return replace(column, values=filled)
