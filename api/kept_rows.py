"""A player's corrected rows as an Arrow file, made when first asked for after a change.

The database joins, corrects and sorts once; every reader then takes batches from the file, which is
mapped into memory and not read whole. A file is named after the player's stamp, so it is never out
of date; the players least recently asked for lose theirs when there are many.
"""

import shutil
import uuid
from collections.abc import Iterator
from pathlib import Path

import pyarrow as pa

from analytics.db import open_store
from analytics.rows import RowTable, row_batches
from api.player_cards import Stamp
from schemas.store_paths import kept_rows_dir

MOST_PLAYERS = 64


def kept_rows(
    store: Path, player_id: str, table: RowTable, stamp: Stamp
) -> tuple[pa.Schema, Iterator[pa.RecordBatch]]:
    """The schema and the batches of a player's rows, in order.

    Raises:
        NoSuchPlayer: the player is gone.
    """
    folder = kept_rows_dir(store, player_id)
    path = folder / f"{table}-{stamp.mtime_ns}.arrow"
    if not path.is_file():
        _make(store, player_id, table, path)
        _forget_others(folder, table, path)
    reader = pa.ipc.open_file(pa.memory_map(str(path)))
    if not stamp.settled:
        path.unlink(missing_ok=True)  # the mapping stays; the next reader makes it anew
    return reader.schema, (reader.get_batch(n) for n in range(reader.num_record_batches))


def _make(store: Path, player_id: str, table: RowTable, path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    staged = path.with_name(f".{table}.{uuid.uuid4().hex}")
    try:
        with open_store(store, player_id) as connection:
            reader = row_batches(connection, table)
            with pa.ipc.new_file(staged, reader.schema) as writer:
                for batch in reader:
                    writer.write_batch(batch)
        staged.replace(path)
    finally:
        staged.unlink(missing_ok=True)


def _forget_others(folder: Path, table: RowTable, kept: Path) -> None:
    """Remove what is out of date, and whole players when there are too many."""
    for path in folder.glob(f"{table}-*.arrow"):
        if path != kept:
            path.unlink(missing_ok=True)
    players = sorted(folder.parent.iterdir(), key=lambda entry: entry.stat().st_mtime_ns)
    for player in players[:-MOST_PLAYERS]:
        shutil.rmtree(player, ignore_errors=True)
