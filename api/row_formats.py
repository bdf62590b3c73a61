"""Rows as bytes, batch by batch: JSON, CSV, Arrow IPC stream, Parquet.

CSV is for spreadsheets, which run a cell that begins like a formula: a text cell that begins with
`= + - @`, a tab or a carriage return gets an apostrophe in front; numbers are left alone.
"""

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import polars as pl
import pyarrow as pa
import pyarrow.parquet as pq

JSON = "application/json"
CSV = "text/csv"
ARROW = "application/vnd.apache.arrow.stream"
PARQUET = "application/vnd.apache.parquet"

FORMULA = r"^[=+\-@\t\r]"
INSTANT = "%Y-%m-%dT%H:%M:%S%.6fZ"
TEXT = pa.schema([("as json", pa.large_binary())])
"""The column of rows that bring their JSON along; its name is no column of any table."""
Encoder = Callable[[pa.Schema, Iterator[pa.RecordBatch]], Iterator[bytes]]


@dataclass(frozen=True)
class RowFormat:
    """One way to write rows; `name` is what `format=` and file names say."""

    name: str
    media_type: str
    encode: Encoder


class _Sink(io.RawIOBase):
    """Collects what a writer writes until it is taken."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []

    def writable(self) -> bool:
        return True

    def write(self, data: object, /) -> int:
        part = bytes(memoryview(data))  # type: ignore[arg-type]  # any buffer, as writers send them
        self._parts.append(part)
        return len(part)

    def take(self) -> bytes:
        taken = b"".join(self._parts)
        self._parts.clear()
        return taken


def to_arrow_stream(schema: pa.Schema, batches: Iterator[pa.RecordBatch]) -> Iterator[bytes]:
    """Arrow IPC stream, one message per batch."""
    sink = _Sink()
    with pa.ipc.new_stream(sink, schema) as writer:
        for batch in batches:
            writer.write_batch(batch)
            yield sink.take()
    yield sink.take()


def to_parquet(schema: pa.Schema, batches: Iterator[pa.RecordBatch]) -> Iterator[bytes]:
    """Parquet, one row group per batch."""
    sink = _Sink()
    with pq.ParquetWriter(sink, schema, compression="zstd") as writer:
        for batch in batches:
            writer.write_batch(batch)
            yield sink.take()
    yield sink.take()


def to_csv(schema: pa.Schema, batches: Iterator[pa.RecordBatch]) -> Iterator[bytes]:
    """CSV (RFC 4180) in UTF-8 with a header line."""
    names = pl.DataFrame(schema.empty_table())
    yield names.write_csv(line_terminator="\r\n").encode()
    for batch in batches:
        frame = formula_safe(_instants_as_text(pl.DataFrame(batch)))
        yield frame.write_csv(include_header=False, line_terminator="\r\n").encode()


def to_json(schema: pa.Schema, batches: Iterator[pa.RecordBatch]) -> Iterator[bytes]:
    """`{"items": [{…}, …]}`, one object per row; rows that bring their text are not rewritten.

    See `json_lines` for the text, which stands in the column `TEXT`.
    """
    yield b'{"items":['
    begun = False
    for batch in batches:
        if batch.num_rows == 0:
            continue
        lines = batch.column(TEXT.names[0]) if TEXT.names[0] in schema.names else json_lines(batch)
        yield _between(lines, skipped=0 if begun else 1)
        begun = True
    yield b"]}"


def json_lines(batch: pa.RecordBatch) -> pa.LargeBinaryArray:
    """Each row as a JSON object with a comma before it: neighbours are the inside of an array."""
    lines = io.BytesIO()
    _instants_as_text(pl.DataFrame(batch)).write_ndjson(lines)
    # Within a row every newline is escaped: one stands after each row, and there the next begins.
    text = np.frombuffer(b"\n" + lines.getvalue()[:-1], np.uint8).copy()
    starts = np.flatnonzero(text == ord("\n"))
    text[starts] = ord(",")
    offsets = pa.py_buffer(np.append(starts, len(text)).astype(np.int64))
    return pa.LargeBinaryArray.from_buffers(
        pa.large_binary(), batch.num_rows, [None, offsets, pa.py_buffer(text)]
    )


def _between(lines: pa.LargeBinaryArray, skipped: int) -> bytes:
    """All of the bytes of an array of byte strings, without the first `skipped`."""
    _, offsets, text = lines.buffers()
    places = np.frombuffer(offsets, np.int64)
    first, last = places[lines.offset], places[lines.offset + len(lines)]
    return bytes(memoryview(text)[first + skipped : last])


def formula_safe(frame: pl.DataFrame) -> pl.DataFrame:
    """The frame with an apostrophe before every text cell a spreadsheet would run."""
    text = pl.col(pl.String)
    return frame.with_columns(
        pl.when(text.str.contains(FORMULA)).then(pl.lit("'") + text).otherwise(text).name.keep()
    )


def _instants_as_text(frame: pl.DataFrame) -> pl.DataFrame:
    return frame.with_columns(
        pl.col(pl.Datetime).dt.to_string(INSTANT).name.keep(),
        pl.col(pl.Date).dt.to_string("%Y-%m-%d").name.keep(),
    )


FORMATS = (
    RowFormat("json", JSON, to_json),
    RowFormat("csv", CSV, to_csv),
    RowFormat("arrow", ARROW, to_arrow_stream),
    RowFormat("parquet", PARQUET, to_parquet),
)
