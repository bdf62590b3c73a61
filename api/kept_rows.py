"""A player's corrected rows as an Arrow file, made when first asked for after a change.

The database joins, corrects and sorts once; every reader then takes batches from the file, which is
mapped into memory and not read whole. A file is named after the time of the player's last change;
one made so soon after it that a further change might not show is for its one reader. The players
least recently asked for lose their files when there are many or they are large: who is reading one
then has it mapped, and reads on.

Whoever wants very many rows as JSON gets them from a second file, which holds each row as it is
written in JSON: writing it takes far longer than sending it.
"""

import os
import shutil
import time
import uuid
from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TypeAlias

import pyarrow as pa

from analytics.db import open_store
from analytics.errors import RowsMoved
from analytics.rows import RowTable, row_batches
from api.player_cards import Stamp
from api.row_formats import TEXT, json_lines
from ingest.whole_file import whole_file
from schemas.store_paths import kept_rows_dir, player_dir

Rows = tuple[pa.Schema, Iterator[pa.RecordBatch]]
ArrowFile: TypeAlias = pa.RecordBatchFileReader

MOST_PLAYERS = 64
MOST_BYTES = 2 << 30


def kept_rows(store: Path, player_id: str, table: RowTable, stamp: Stamp) -> Rows:
    """The schema and the batches of a player's rows, in order, made if they are not kept.

    Args:
        stamp: the player's stamp as it was seen before the rows are read.

    Raises:
        NoSuchPlayer: they have to be made and the player is gone.
        RowsMoved: they have to be made and an import went away meanwhile.
    """
    if not stamp.settled:
        return _for_one_reader(store, player_id, table, None)
    return _rows(_kept_file(store, player_id, table, stamp))


def kept_stream(store: Path, player_id: str, table: RowTable, stamp: Stamp) -> pa.Buffer | None:
    """All of a player's rows as an Arrow IPC stream: the inside of the kept file is one already.

    None where the file is for one reader only, or was forgotten meanwhile. Errors as `kept_rows`.

    Source: Arrow columnar format, "IPC File Format": a magic word of 8 bytes with its padding, the
    stream, the footer, the footer's length in 4 bytes, the magic word of 6.
    """
    if not stamp.settled:
        return None
    _kept_file(store, player_id, table, stamp)
    try:
        whole = pa.memory_map(str(_kept_path(store, player_id, table, stamp))).read_buffer()
    except FileNotFoundError:
        return None
    footer = int.from_bytes(whole[-10:-6].to_pybytes(), "little")
    return whole[8 : whole.size - 10 - footer]


def rows_as_of(store: Path, player_id: str, table: RowTable, as_of: datetime) -> Rows:
    """The rows as they stood at an instant (UTC); kept for this one reader."""
    return _for_one_reader(store, player_id, table, as_of)


def kept_rows_as_json(store: Path, player_id: str, table: RowTable, stamp: Stamp) -> Rows:
    """As `kept_rows`, each row with its JSON text in the column `TEXT` beside it.

    For settled stamps: two files made at different moments must tell of the same rows.
    """
    kept = _kept_file(store, player_id, table, stamp)
    schema, batches = _rows(kept)
    path = kept_rows_dir(store, player_id) / f"{table}-{stamp.mtime_ns}.json.arrow"
    texts = _mapped(path) or _written(path, TEXT, (_text(batch) for batch in _rows(kept)[1]))
    _forget_erased(store, player_id)
    both = (
        batch.append_column(TEXT.field(0), text.column(0))
        for batch, text in zip(batches, _rows(texts)[1], strict=True)
    )
    return schema.append(TEXT.field(0)), both


def _kept_file(store: Path, player_id: str, table: RowTable, stamp: Stamp) -> ArrowFile:
    path = _kept_path(store, player_id, table, stamp)
    kept = _mapped(path)
    if kept is not None:
        _asked_now(path.parent)
        return kept
    kept = _made(store, player_id, table, path, None)
    _asked_now(path.parent)
    _forget_others(path.parent, table, path)
    return kept


def _asked_now(folder: Path) -> None:
    """Note the moment by a clock finer than the one that files are written by."""
    moment = time.time_ns()
    with suppress(FileNotFoundError):  # forgotten meanwhile
        os.utime(folder, ns=(moment, moment))


def _kept_path(store: Path, player_id: str, table: RowTable, stamp: Stamp) -> Path:
    return kept_rows_dir(store, player_id) / f"{table}-{stamp.mtime_ns}.arrow"


def _for_one_reader(store: Path, player_id: str, table: RowTable, as_of: datetime | None) -> Rows:
    path = kept_rows_dir(store, player_id) / f"{table}-{uuid.uuid4().hex}.arrow"
    made = _made(store, player_id, table, path, as_of)
    path.unlink(missing_ok=True)  # the mapping stays
    return _rows(made)


def _rows(file: ArrowFile) -> Rows:
    return file.schema, (file.get_batch(n) for n in range(file.num_record_batches))


def _text(batch: pa.RecordBatch) -> pa.RecordBatch:
    return pa.RecordBatch.from_arrays([json_lines(batch)], schema=TEXT)


def _made(
    store: Path, player_id: str, table: RowTable, path: Path, as_of: datetime | None
) -> ArrowFile:
    with open_store(store, player_id, as_of) as connection:
        reader = row_batches(connection, table)
        made = _written(path, reader.schema, reader)
    _forget_erased(store, player_id)
    return made


def _forget_erased(store: Path, player_id: str) -> None:
    """Remove the rows of a player who was erased while they were written."""
    if not player_dir(store, player_id).is_dir():
        shutil.rmtree(kept_rows_dir(store, player_id), ignore_errors=True)


def _mapped(path: Path) -> ArrowFile | None:
    try:
        file: ArrowFile = pa.ipc.open_file(pa.memory_map(str(path)))
    except FileNotFoundError:
        return None
    return file


def _written(path: Path, schema: pa.Schema, batches: Iterable[pa.RecordBatch]) -> ArrowFile:
    """The batches as a file, mapped before anyone else could remove it.

    Raises: RowsMoved when the folder went meanwhile, with its player or to make room.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with whole_file(path) as staged:
            with pa.ipc.new_file(staged, schema) as writer:
                for batch in batches:
                    writer.write_batch(batch)
            file: ArrowFile = pa.ipc.open_file(pa.memory_map(str(staged)))
    except FileNotFoundError as error:
        raise RowsMoved(
            "The rows were moved while they were written.", "Ask again; the store itself is whole."
        ) from error
    return file


def _forget_others(folder: Path, table: RowTable, kept: Path) -> None:
    """Remove what is out of date, and whole players when there are too many."""
    for path in folder.glob(f"{table}-*.arrow"):
        if path != kept:
            path.unlink(missing_ok=True)
    size = 0
    for place, player in enumerate(sorted(folder.parent.iterdir(), key=_asked_ns, reverse=True)):
        with suppress(OSError):  # somebody else removed it
            size += sum(path.stat().st_size for path in player.iterdir())
        if place >= MOST_PLAYERS or (place > 0 and size > MOST_BYTES):
            shutil.rmtree(player, ignore_errors=True)


def _asked_ns(folder: Path) -> int:
    """When a player's rows were last asked for, in ns since 1970; 0 once they are gone."""
    try:
        return folder.stat().st_mtime_ns
    except FileNotFoundError:
        return 0
