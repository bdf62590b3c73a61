"""Where numbers came from, as text: file and line."""

from collections.abc import Iterable

from analytics.bracket_rows import RowRef


def ref_words(rows: Iterable[RowRef]) -> str:
    """`shots.csv line 12, swings.csv line 40`."""
    return ", ".join(f"{row.source_name or row.import_id} line {row.source_line}" for row in rows)
