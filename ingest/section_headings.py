"""The session's name from headings between the rows ("Session: 2"), where no column says it.

Clubs and days in headings are columns of their own, see `ingest/section_columns.py`.
"""

import polars as pl

from ingest.plan import Plan
from ingest.sheet import Sheet
from ingest.table_texts import Texts
from ingest.words import compact


def with_sessions(frame: pl.DataFrame, sheet: Sheet, texts: Texts, plan: Plan) -> pl.DataFrame:
    """`frame` with the session that the headings of `sheet` name for the rows after them."""
    spoken = [(s.line, s.value) for s in sheet.sections if compact(s.key) == "session"]
    if not spoken or any(p.column == "session_label" for p in plan.columns):
        return frame
    values = pl.Series([_latest(spoken, line) for line in texts.lines], dtype=pl.String)
    return frame.with_columns(values.alias("session_label"))


def _latest(spoken: list[tuple[int, str]], line: int) -> str | None:
    return next((value for at, value in reversed(spoken) if at < line), None)
