"""The cells of a sheet as one frame of texts: tidied for reading, and as written for keeping."""

from dataclasses import dataclass

import polars as pl

from ingest.numbers import missing_words
from ingest.sheet import Sheet

_OUTER = " \t\r\n\u00a0\u2007\u202f\ufeff\u200b\u3000\u200e\u200f"


@dataclass(frozen=True)
class Texts:
    """`tidy` has null where a cell is blank or says "missing"; `plain` is null only for blanks.

    Columns are named `0`, `1` … by position; `lines` and `raws` are aligned with the rows.
    """

    tidy: pl.DataFrame
    plain: pl.DataFrame
    lines: pl.Series
    raws: list[str]


def texts_of(sheet: Sheet) -> Texts:
    """All records of `sheet`, padded to the width of its header."""
    width = len(sheet.header)
    records = sheet.records
    columns = list(zip(*(_padded(record.cells, width) for record in records), strict=True))
    frame = pl.DataFrame(
        {
            str(index): pl.Series(columns[index] if columns else [], dtype=pl.String)
            for index in range(width)
        }
    )
    lines = pl.Series("source_line", [record.line for record in records], dtype=pl.Int64)
    return Texts(*tidied(frame), lines, [record.raw for record in records])


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
    plain = frame.select(pl.all().str.strip_chars(_OUTER)).select(pl.all().replace({"": None}))
    missing = list(missing_words())
    tidy = _half_width(plain).select(
        pl.when(pl.col(name).str.to_lowercase().is_in(missing))
        .then(None)
        .otherwise(pl.col(name))
        .alias(name)
        for name in plain.columns
    )
    return tidy, plain
