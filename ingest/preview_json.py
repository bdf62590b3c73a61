"""A reading as the plain JSON that previews print: all that would be kept, and why the rest not."""

import math
from datetime import date, datetime

import polars as pl

from ingest.errors import IngestError
from ingest.reading import Reading

Json = dict[str, object]


def as_preview(reading: Reading) -> Json:
    """Every line of the source in one of rows, set_aside, repeats or structure; see the README."""
    preview: Json = {
        "kind": reading.kind,
        "outcome": reading.outcome,
        "header_line": reading.header_line,
        "mapped": [
            {"header": m.header, "column": m.column, "unit": m.unit, "unit_from": m.unit_from}
            for m in reading.mapped
        ],
        "unknown_columns": list(reading.unknown_columns),
        "metadata": dict(reading.metadata),
        "rows": _rows(reading.table),
        "set_aside": [
            {
                "line": row.line,
                "column": row.column,
                "value": row.value,
                "code": row.code,
                "reason": row.reason,
                "mend": row.mend,
            }
            for row in reading.set_aside
        ],
        "repeats": [{"line": r.line, "of_line": r.of_line} for r in reading.repeats],
        "structure": [{"line": s.line, "kind": s.kind} for s in reading.structure],
        "questions": [
            {
                "id": q.id,
                "column": q.column,
                "header": q.header,
                "kind": q.kind,
                "candidates": list(q.candidates),
                "lines": list(q.lines),
                "why": q.why,
            }
            for q in reading.questions
        ],
        "layout": reading.layout,
        "n_lines": reading.n_lines,
    }
    if reading.dialect is not None:
        preview["dialect"] = {
            "encoding": reading.dialect.encoding,
            "delimiter": reading.dialect.delimiter,
            "quote": reading.dialect.quote,
            "escape": reading.dialect.escape,
            "newline": reading.dialect.newline,
        }
    if reading.outcome == "rejected":
        preview |= {"code": reading.code, "reason": reading.reason, "mend": reading.mend}
    if reading.other_sheets:
        preview["other_sheets"] = list(reading.other_sheets)
    return preview


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
