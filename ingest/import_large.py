"""One large export in bounded memory: read, identify and write piece by piece.

The rows, identities and accounts are those of `ingest.import_file`; what a stream cannot know is
listed in `ingest/stream_reading.py`.
"""

import uuid
from collections.abc import Iterable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import polars as pl
import pyarrow.parquet as pq

from ingest.ahead import ahead
from ingest.containers import text_bytes
from ingest.ledger import import_identity
from ingest.ledger_entry import TABLE_OF_KIND, Arrival
from ingest.options import Options
from ingest.overlap import Known, Overlap
from ingest.parquet_options import parquet_options
from ingest.reading import Reading
from ingest.store_writing import StoreWriting
from ingest.stream_identity import (
    InstantsGoBackError,
    first_round,
    identify_by_round,
    identify_in_order,
)
from ingest.stream_reading import stream_export
from ingest.to_arrow import to_arrow
from schemas.store_paths import tmp_dir
from schemas.tables import arrow_schema

LARGE_BYTES = 32 * 2**20
ROW_GROUP_ROWS = 131_072  # a piece of some 8 MB is one group, so that a reader skips what it can


@dataclass(frozen=True)
class LargeReading:
    """A large export whose rows stand in a Parquet file beside the store, not yet committed."""

    reading: Reading
    rows: Path
    n_rows: int
    overlap: Overlap


def is_large(source: Path | bytes) -> bool:
    """Whether a source should be read piece by piece: a long plain text, packed or not."""
    return isinstance(source, Path) and text_bytes(source) >= max(LARGE_BYTES, 1)


def read_large(
    store: Path, source: Path, arrival: Arrival, options: Options, known: Known
) -> LargeReading | None:
    """Read `source` piece by piece into one Parquet file under the store's `tmp/`.

    Returns None for a file whose headings between the rows say something about them: such a
    file has to be read whole.

    Raises:
        what `stream_export` raises; nothing is left behind then.
    """
    with StoreWriting(store):
        tmp_dir(store).mkdir(parents=True, exist_ok=True)
    trip = _Trip(source, arrival, options, known, tmp_dir(store) / f"rows.{uuid.uuid4().hex[:8]}")
    try:
        found = trip.read()
    except BaseException:
        trip.rows.unlink(missing_ok=True)
        raise
    if found is None:
        trip.rows.unlink(missing_ok=True)
    return found


@dataclass(frozen=True)
class _Trip:
    source: Path
    arrival: Arrival
    options: Options
    known: Known
    rows: Path

    def read(self) -> LargeReading | None:
        try:
            return self.in_order()
        except InstantsGoBackError:
            return self.in_two_rounds()

    def in_order(self) -> LargeReading | None:
        with stream_export(self.source, name=self.arrival.name, options=self.options) as stream:
            table = TABLE_OF_KIND[stream.plan.kind]
            overlap = self._write(
                identify_in_order(stream.batches(), table), table, stream.plan.layout
            )
            if stream.needs_whole:
                return None
            return LargeReading(stream.reading(), self.rows, stream.n_rows, overlap)

    def in_two_rounds(self) -> LargeReading | None:
        with stream_export(self.source, name=self.arrival.name, options=self.options) as stream:
            table = TABLE_OF_KIND[stream.plan.kind]
            whole = first_round(stream.batches(), table)
            if stream.needs_whole:
                return None
        with stream_export(self.source, name=self.arrival.name, options=self.options) as stream:
            pieces = identify_by_round(stream.batches(), whole)
            overlap = self._write(pieces, table, stream.plan.layout)
            return LargeReading(stream.reading(), self.rows, stream.n_rows, overlap)

    def _write(self, pieces: Iterable[pl.DataFrame], table: str, layout: str) -> Overlap:
        arrival, total = self.arrival, Overlap()
        import_id = import_identity(arrival.sha256, arrival.player_id, layout, arrival.options)
        with (
            closing(ahead(pieces)) as coming,
            pq.ParquetWriter(self.rows, arrow_schema(table), **parquet_options(table)) as writer,
        ):
            for frame in coming:
                total += self.known.compare(arrival.player_id, table, frame)
                writer.write_table(to_arrow(frame, table, import_id), ROW_GROUP_ROWS)
        return total
