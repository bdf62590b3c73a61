"""A reading as the plain JSON that previews print: all that would be kept, and why the rest not."""

import math
from collections.abc import Sequence
from datetime import date, datetime

import polars as pl

from ingest.errors import IngestError
from ingest.reading import Reading

Json = dict[str, object]
MAPPED = ("header", "column", "unit", "unit_from")
ASIDE = ("line", "column", "value", "code", "reason", "mend")
QUESTION = ("id", "column", "header", "kind", "candidates", "lines", "why")
DIALECT = ("encoding", "delimiter", "quote", "escape", "newline")


def as_preview(reading: Reading) -> Json:
    """Every line of the source in one of rows, set_aside, repeats or structure; see the README."""
    preview: Json = {
        "kind": reading.kind,
        "outcome": reading.outcome,
        "header_line": reading.header_line,
        "mapped": [_plain(mapped, MAPPED) for mapped in reading.mapped],
        "unknown_columns": list(reading.unknown_columns),
        "metadata": dict(reading.metadata),
        "rows": _rows(reading.table),
        "set_aside": [_plain(row, ASIDE) for row in reading.set_aside],
        "repeats": [_plain(repeat, ("line", "of_line")) for repeat in reading.repeats],
        "structure": [_plain(entry, ("line", "kind")) for entry in reading.structure],
        "questions": [_plain(question, QUESTION) for question in reading.questions],
        "layout": reading.layout,
        "n_lines": reading.n_lines,
    }
    if reading.dialect is not None:
        preview["dialect"] = _plain(reading.dialect, DIALECT)
    if reading.outcome == "rejected":
        preview |= {"code": reading.code, "reason": reading.reason, "mend": reading.mend}
    if reading.other_sheets:
        preview["other_sheets"] = list(reading.other_sheets)
    if reading.other_kinds:
        preview["other_kinds"] = list(reading.other_kinds)
    return preview


def _plain(entry: object, names: Sequence[str]) -> Json:
    """These attributes of an entry, tuples as lists."""
    values = {name: getattr(entry, name) for name in names}
    return {name: list(v) if isinstance(v, tuple) else v for name, v in values.items()}


def rejected_preview(error: IngestError) -> Json:
    """The preview of a file that cannot be read as a table at all."""
    return {
        "kind": "unknown",
        "outcome": "rejected",
        "header_line": None,
        "mapped": [],
        "unknown_columns": [],
        "metadata": {},
        "rows": [],
        "set_aside": [],
        "repeats": [],
        "structure": [],
        "questions": [],
        "code": error.code,
        "reason": error.reason,
        "mend": error.mend,
    }


def _rows(table: pl.DataFrame) -> list[Json]:
    if table.is_empty():
        return []
    names = [name for name in table.columns if name not in {"source_line", "extra", "occurrence"}]
    rows: list[Json] = []
    for row in table.iter_rows(named=True):
        values = {name: _value(row[name]) for name in names}
        extra = {pair["key"]: pair["value"] for pair in row["extra"] or ()}
        rows.append({"line": row["source_line"], "values": values, "extra": extra})
    return rows


def _value(value: object) -> object:
    """Instants as ISO 8601 in UTC with Z; numbers that are not finite as null."""
    if isinstance(value, datetime):
        text = value.replace(tzinfo=None).isoformat()
        return f"{text}Z"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
