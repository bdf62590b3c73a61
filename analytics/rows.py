"""The rows themselves, for other tools: every struck ball, every swing, in order, in batches."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from analytics.db import Connection, sql
from schemas.tables import arrow_schema

RowTable = Literal["shots", "swings"]
INSTANT = {"shots": "struck_at_utc", "swings": "swung_at_utc"}
BATCH_ROWS = 10_000
EVERY = 2**62
"""A limit that no player's rows reach."""


@dataclass(frozen=True)
class Place:
    """A place in the order of rows: instant in microseconds since 1970 (0 for none), event."""

    instant_us: int
    event_id: str


@dataclass(frozen=True)
class RowFilter:
    """Which rows: from `since` on, before `until` (UTC), of one club, after a place, at most."""

    since: datetime | None = None
    until: datetime | None = None
    club: str | None = None
    after: Place | None = None
    rows: int = EVERY


def row_batches(connection: Connection, table: RowTable) -> pa.RecordBatchReader:
    """All rows of the player the connection was opened for, in batches of at most 10,000.

    In the order of their instants, those without one first. The reader draws from the connection:
    close it only when the reader is done.
    """
    reader = connection.sql(sql(f"rows_{table}")).to_arrow_reader(BATCH_ROWS)
    schema = _described(reader.schema, table)
    batches = (pa.RecordBatch.from_arrays(batch.columns, schema=schema) for batch in reader)
    return pa.RecordBatchReader.from_batches(schema, batches)


def chosen(
    batches: Iterator[pa.RecordBatch], table: RowTable, wanted: RowFilter
) -> Iterator[pa.RecordBatch]:
    """The rows of ordered `batches` that are wanted; no more batches are drawn than needed."""
    left = wanted.rows
    for batch in batches:
        if batch.num_rows == 0:
            continue
        instants = _instants(batch, table)
        first, end = _span(batch, instants, wanted)
        part = batch.slice(first, max(0, end - first))
        if wanted.club is not None:
            part = part.filter(pc.equal(part.column("club"), wanted.club))
        part = part.slice(0, left)
        if part.num_rows:
            yield part
            left -= part.num_rows
        if left == 0 or end < batch.num_rows:
            return


def _span(batch: pa.RecordBatch, instants: np.ndarray, wanted: RowFilter) -> tuple[int, int]:
    """First row and end of what a batch holds between `since`, `after` and `until`."""
    first, end = 0, batch.num_rows
    if wanted.since is not None:
        first = int(np.searchsorted(instants, _us(wanted.since), "left"))
    if wanted.until is not None:
        end = int(np.searchsorted(instants, _us(wanted.until), "left"))
        first = max(first, int(np.searchsorted(instants, 0, "right")))  # those without an instant
    if wanted.after is not None:
        place = int(np.searchsorted(instants, wanted.after.instant_us, "left"))
        events = batch.column("event_id")
        while (
            place < end
            and instants[place] == wanted.after.instant_us
            and events[place].as_py() <= wanted.after.event_id
        ):
            place += 1
        first = max(first, place)
    return first, end


def place_of(table: RowTable, batch: pa.RecordBatch) -> Place:
    """Where the last row of a batch stands in the order."""
    return Place(int(_instants(batch, table)[-1]), batch.column("event_id")[-1].as_py())


def _instants(batch: pa.RecordBatch, table: RowTable) -> np.ndarray:
    column = batch.column(INSTANT[table]).cast(pa.int64()).fill_null(0)
    found: np.ndarray = column.to_numpy(zero_copy_only=False)
    return found


def _us(instant: datetime) -> int:
    return round(instant.timestamp() * 1e6)


def _described(schema: pa.Schema, table: RowTable) -> pa.Schema:
    """The schema with units and descriptions, which the database does not carry along."""
    known = {field.name: field.metadata for field in arrow_schema(table)}
    return pa.schema([field.with_metadata(known.get(field.name)) for field in schema])
