"""A player's corrected rows as an Arrow file, made when first asked for after a change.

The database joins, corrects and sorts once; every reader then takes batches from the file, which is
mapped into memory and not read whole. A file is named after the player's stamp, so it is never out
of date; the players least recently asked for lose theirs when there are many or they are large.

Whoever wants very many rows as JSON gets them from a second file, which holds each row as it is
written in JSON: writing it takes far longer than sending it.
"""

import shutil
import uuid
from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import datetime
from pathlib import Path

import pyarrow as pa

from analytics.db import open_store
from analytics.rows import RowTable, row_batches
from api.player_cards import Stamp
from api.row_formats import TEXT, json_lines
from schemas.store_paths import kept_rows_dir

MOST_PLAYERS = 64
MOST_BYTES = 2 << 30


def kept_rows(
    store: Path, player_id: str, table: RowTable, stamp: Stamp
) -> tuple[pa.Schema, Iterator[pa.RecordBatch]]:
    """The schema and the batches of a player's rows, in order.

    Raises:
        NoSuchPlayer: the player is gone.
    """
    settled = stamp.settled
    folder = kept_rows_dir(store, player_id)
    path = folder / f"{table}-{stamp.mtime_ns}.arrow"
    if not path.is_file():
        _make(store, player_id, table, path)
        _forget_others(folder, table, path)
    reader = pa.ipc.open_file(pa.memory_map(str(path)))
    if not settled:
        path.unlink(missing_ok=True)  # the mapping stays; the next reader makes it anew
    return reader.schema, (reader.get_batch(n) for n in range(reader.num_record_batches))


def rows_as_of(
    store: Path, player_id: str, table: RowTable, as_of: datetime
) -> tuple[pa.Schema, Iterator[pa.RecordBatch]]:
    """The rows as they stood at an instant (UTC); kept for this one reader."""
    path = kept_rows_dir(store, player_id) / f"{table}-{uuid.uuid4().hex}.arrow"
    _make(store, player_id, table, path, as_of)
    reader = pa.ipc.open_file(pa.memory_map(str(path)))
    path.unlink(missing_ok=True)  # the mapping stays
    return reader.schema, (reader.get_batch(n) for n in range(reader.num_record_batches))


def kept_rows_as_json(
    store: Path, player_id: str, table: RowTable, stamp: Stamp
) -> tuple[pa.Schema, Iterator[pa.RecordBatch]]:
    """As `kept_rows`, each row with its JSON text in the column `TEXT` beside it.

    For settled stamps: two files made at different moments must tell of the same rows.
    """
    schema, batches = kept_rows(store, player_id, table, stamp)
    path = kept_rows_dir(store, player_id) / f"{table}-{stamp.mtime_ns}.json.arrow"
    if not path.is_file():
        _write(path, TEXT, (_text(batch) for batch in batches))
        _, batches = kept_rows(store, player_id, table, stamp)
    reader = pa.ipc.open_file(pa.memory_map(str(path)))
    texts = (reader.get_batch(n).column(0) for n in range(reader.num_record_batches))
    both = (
        batch.append_column(TEXT.field(0), text) for batch, text in zip(batches, texts, strict=True)
    )
    return schema.append(TEXT.field(0)), both


def _text(batch: pa.RecordBatch) -> pa.RecordBatch:
    return pa.RecordBatch.from_arrays([json_lines(batch)], schema=TEXT)


def _make(
    store: Path, player_id: str, table: RowTable, path: Path, as_of: datetime | None = None
) -> None:
    with open_store(store, player_id, as_of) as connection:
        reader = row_batches(connection, table)
        _write(path, reader.schema, reader)


def _write(path: Path, schema: pa.Schema, batches: Iterable[pa.RecordBatch]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    staged = path.with_name(f".{path.name}.{uuid.uuid4().hex}")
    try:
        with pa.ipc.new_file(staged, schema) as writer:
            for batch in batches:
                writer.write_batch(batch)
        staged.replace(path)
    finally:
        staged.unlink(missing_ok=True)


def _forget_others(folder: Path, table: RowTable, kept: Path) -> None:
    """Remove what is out of date, and whole players when there are too many."""
    for path in folder.glob(f"{table}-*.arrow"):
        if path != kept:
            path.unlink(missing_ok=True)
    players = sorted(
        folder.parent.iterdir(), key=lambda entry: entry.stat().st_mtime_ns, reverse=True
    )
    size = 0
    for place, player in enumerate(players):
        with suppress(OSError):  # somebody else removed it
            size += sum(path.stat().st_size for path in player.iterdir())
        if place >= MOST_PLAYERS or (place > 0 and size > MOST_BYTES):
            shutil.rmtree(player, ignore_errors=True)
