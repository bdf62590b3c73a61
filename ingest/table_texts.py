"""The cells of a sheet as one frame of texts: tidied for reading, and as written for keeping."""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache

import polars as pl

from ingest.number_columns import SMALL, NumberColumn
from ingest.numbers import missing_words
from ingest.sheet import Sheet

OUTER = " \t\r\n\u00a0\u2007\u202f\ufeff\u200b\u3000\u200e\u200f"


SAMPLE = 200


@dataclass(frozen=True)
class Texts:
    """`tidy` has null where a cell is blank or says "missing"; `plain` is null only for blanks.

    Columns are named `0`, `1` … by position; `lines` and `raws` are aligned with the rows.
    `samples` are the first cells of each column that are not missing; `parsed` remembers columns
    of numbers that were read for the plan, so that they are not read again for the rows.
    """

    tidy: pl.DataFrame
    plain: pl.DataFrame
    lines: pl.Series
    raws: Sequence[str]
    samples: tuple[tuple[str, ...], ...]
    parsed: dict[tuple[object, ...], NumberColumn] = field(default_factory=dict)


def texts_of(sheet: Sheet) -> Texts:
    """All records of `sheet`, padded to the width of its header."""
    width = len(sheet.header)
    records = sheet.records
    rows = [_padded(record.cells, width) for record in records]
    columns = list(zip(*rows, strict=True)) or [()] * width
    lines = pl.Series("source_line", [record.line for record in records], dtype=pl.Int64)
    raws = [record.raw for record in records]
    if len(records) > SMALL:
        frame = pl.DataFrame(
            {str(i): pl.Series(cells, dtype=pl.String) for i, cells in enumerate(columns)}
        )
        tidy, plain = tidied(frame)
        return Texts(tidy, plain, lines, raws, samples_of(tidy))
    stripped = [[cell.strip(OUTER) or None for cell in cells] for cells in columns]
    tidy_lists = [_tidy_list(cells) for cells in stripped]
    samples = tuple(tuple([t for t in cells if t is not None][:SAMPLE]) for cells in tidy_lists)
    return Texts(_frame(tidy_lists), _frame(stripped), lines, raws, samples)


def _frame(columns: Sequence[list[str | None]]) -> pl.DataFrame:
    return pl.DataFrame([pl.Series(str(i), c, dtype=pl.String) for i, c in enumerate(columns)])


def _tidy_list(cells: list[str | None]) -> list[str | None]:
    missing = _missing()
    return [None if cell is None or cell.lower() in missing else half_width(cell) for cell in cells]


@cache
def _missing() -> frozenset[str]:
    return frozenset(missing_words())


def half_width(text: str) -> str:
    """Full-width letters and digits as ordinary ones."""
    if text.isascii() or not any("\uff01" <= char <= "\uff5e" for char in text):
        return text
    return unicodedata.normalize("NFKC", text)


def samples_of(tidy: pl.DataFrame) -> tuple[tuple[str, ...], ...]:
    """The first cells of each column that are not missing."""
    return tuple(tuple(column.drop_nulls().head(SAMPLE).to_list()) for column in tidy)


def _padded(cells: tuple[str, ...], width: int) -> tuple[str, ...]:
    if len(cells) == width:
        return cells
    return (*cells, *("" for _ in range(width - len(cells))))[:width]


def _half_width(frame: pl.DataFrame) -> pl.DataFrame:
    """Full-width letters and digits as ordinary ones, in the columns that have any."""
    wide = (
        frame.select(pl.all().str.contains(r"[\uFF01-\uFF5E]").any()).row(0) if frame.width else ()
    )
    names = [name for name, has in zip(frame.columns, wide, strict=True) if has]
    return frame.with_columns(pl.col(name).str.normalize("NFKC") for name in names)


def tidied(frame: pl.DataFrame) -> tuple[pl.DataFrame, pl.DataFrame]:
    """(tidy, plain) of raw texts; see `Texts`."""
    plain = frame.select(pl.all().str.strip_chars(OUTER)).select(pl.all().replace({"": None}))
    missing = list(missing_words())
    tidy = _half_width(plain).select(
        pl.when(pl.col(name).str.to_lowercase().is_in(missing))
        .then(None)
        .otherwise(pl.col(name))
        .alias(name)
        for name in plain.columns
    )
    return tidy, plain
