"""JSON lines and Parquet to a sheet: formats that state their columns, so nothing has to be found.

Cells are the values as text. A line is the physical line of a JSON object, or the row of a Parquet
file (counted from 1).
"""

import io
import json
from collections.abc import Iterable

import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.parquet as pq

from ingest.body import Body
from ingest.containers import MAX_BYTES_WHOLE
from ingest.errors import NotReadable, NotTabular, TooLarge
from ingest.physical_lines import split_lines
from ingest.sheet import Dialect, Record, RowFault, Sheet, Structure

_NOT_AN_OBJECT = "the line is no JSON object"
_MEND = 'write one object per line, {"column": value, …}'
_MAX_PARQUET_ROWS = 2_000_000


def looks_like_json_lines(text: str) -> bool:
    """Whether the first filled line is a JSON object."""
    start = text.lstrip("\ufeff \t\r\n")
    if not start.startswith("{"):
        return False
    return isinstance(_loaded(start.splitlines()[0]), dict)


def read_json_lines(text: str, name: str, encoding: str) -> Sheet:
    """One record per object; the header is the union of the keys in order of appearance."""
    lines = split_lines(text)
    objects: list[tuple[int, str, dict[str, object]]] = []
    body = Body()
    for number, raw in enumerate(lines.texts, 1):
        value = _loaded(raw) if raw.strip() else None
        if isinstance(value, dict):
            objects.append((number, raw, value))
        elif not raw.strip():
            body.structure.append(Structure(number, "blank"))
        else:
            fault = RowFault(number, "not_an_object", _NOT_AN_OBJECT, _MEND, raw, (raw,))
            body.faults.append(fault)
    header = tuple(dict.fromkeys(key for _, _, value in objects for key in value))
    body.records = [
        Record(number, tuple(_text(value.get(key)) for key in header), raw)
        for number, raw, value in objects
    ]
    dialect = Dialect(encoding, "json", None, None, lines.newline)
    return _sheet(name, header, body, dialect, len(lines.texts))


def read_parquet(data: bytes, name: str) -> Sheet:
    """One record per row. Raises NotReadable for a damaged file, TooLarge beyond the limits."""
    try:
        file = pq.ParquetFile(io.BytesIO(data))
        size = sum(
            file.metadata.row_group(i).total_byte_size for i in range(file.metadata.num_row_groups)
        )
        if size > 4 * MAX_BYTES_WHOLE or file.metadata.num_rows > _MAX_PARQUET_ROWS:
            raise TooLarge("the Parquet file is too large.", "Import it in parts.", file=name)
        table = file.read()
    except (pa.ArrowException, OSError) as fault:
        reason = f"the Parquet file is damaged: {fault}."
        raise NotReadable(reason, "Fetch or export it again.", file=name) from fault
    if not table.num_columns:
        raise NotTabular("the Parquet file has no columns.", "Check the file.", file=name)
    columns = [_column_text(column) for column in table.columns]
    rows = zip(*columns, strict=True)
    records = [Record(i, cells, json.dumps(cells)) for i, cells in enumerate(rows, 1)]
    dialect = Dialect("parquet", "", None, None, "\n")
    return _sheet(name, tuple(table.column_names), Body(records), dialect, len(records))


def _column_text(column: "pa.ChunkedArray") -> list[str]:
    if pa.types.is_timestamp(column.type) and column.type.tz:
        column = column.cast(pa.timestamp(column.type.unit, "UTC"))
        naive = column.cast(pa.timestamp(column.type.unit)).cast(pa.string())
        values: Iterable[str | None] = pc.binary_join_element_wise(naive, "Z", "").to_pylist()
    else:
        values = (_text(value) for value in column.to_pylist())
    return [value or "" for value in values]


def _sheet(name: str, header: tuple[str, ...], body: Body, dialect: Dialect, n_lines: int) -> Sheet:
    return Sheet(
        name=name,
        header=header,
        header_line=None,
        units=None,
        records=body.records,
        structure=tuple(body.structure),
        metadata={},
        dialect=dialect,
        faults=tuple(body.faults),
        n_lines=n_lines,
    )


def _loaded(text: str) -> object:
    try:
        return json.loads(text, parse_float=str, parse_int=str)
    except (json.JSONDecodeError, RecursionError):
        return None


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (dict, list)):
        return json.dumps(value, ensure_ascii=False)
    return str(value)
