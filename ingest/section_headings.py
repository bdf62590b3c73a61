"""Club and session from headings between the rows ("Club: SW"), where no column says them."""

import polars as pl

from ingest.normalise import club_columns
from ingest.plan import Plan
from ingest.sheet import Sheet
from ingest.table_texts import Texts
from ingest.words import compact, preamble_keys

_COLUMNS = {"club": "club_text", "session": "session_label"}


def with_sections(frame: pl.DataFrame, sheet: Sheet, texts: Texts, plan: Plan) -> pl.DataFrame:
    """`frame` with what the headings of `sheet` say about the rows after them."""
    for meaning, column in _COLUMNS.items():
        spoken = [(s.line, s.value) for s in sheet.sections if _meaning(s.key) == meaning]
        if not spoken or any(p.column == column for p in plan.columns):
            continue
        values = pl.Series([_latest(spoken, line) for line in texts.lines], dtype=pl.String)
        if column == "club_text":
            frame = _with_clubs(frame, values)
        else:
            frame = frame.with_columns(values.alias(column))
    return frame


def _meaning(key: str) -> str:
    return preamble_keys().get(compact(key), compact(key))


def _latest(spoken: list[tuple[int, str]], line: int) -> str | None:
    return next((value for at, value in reversed(spoken) if at < line), None)


def _with_clubs(frame: pl.DataFrame, values: pl.Series) -> pl.DataFrame:
    if "club_text" in frame.columns:
        values = values.zip_with(values.is_not_null(), frame.get_column("club_text"))
    return frame.with_columns(series.alias(name) for name, series in club_columns(values).items())
