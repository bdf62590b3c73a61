"""The rows themselves, for other tools: every struck ball, every swing, in order, in batches."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import pyarrow as pa

from analytics.db import Connection, sql
from schemas.tables import arrow_schema

RowTable = Literal["shots", "swings"]
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


def row_batches(connection: Connection, table: RowTable, wanted: RowFilter) -> pa.RecordBatchReader:
    """The rows of the player the connection was opened for, in batches of at most 10,000.

    The reader draws from the connection: close it only when the reader is done.
    """
    parameters = {
        "since": wanted.since,
        "until": wanted.until,
        "club": wanted.club,
        "after_us": wanted.after.instant_us if wanted.after else None,
        "after_id": wanted.after.event_id if wanted.after else None,
        "rows": wanted.rows,
    }
    relation = connection.sql(sql(f"rows_{table}"), params=parameters)
    reader = relation.to_arrow_reader(BATCH_ROWS)
    schema = _described(reader.schema, table)
    batches = (pa.RecordBatch.from_arrays(batch.columns, schema=schema) for batch in reader)
    return pa.RecordBatchReader.from_batches(schema, batches)


def _described(schema: pa.Schema, table: RowTable) -> pa.Schema:
    """The schema with units and descriptions, which the database does not carry along."""
    known = {field.name: field.metadata for field in arrow_schema(table)}
    return pa.schema([field.with_metadata(known.get(field.name)) for field in schema])


def place_of(table: RowTable, batch: pa.RecordBatch) -> Place:
    """Where the last row of a batch stands in the order."""
    instant = batch.column({"shots": "struck_at_utc", "swings": "swung_at_utc"}[table])[-1]
    return Place(instant.cast(pa.int64()).as_py() or 0, batch.column("event_id")[-1].as_py())
