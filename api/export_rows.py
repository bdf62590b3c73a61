"""Writes a player's rows to a file, whole or not at all."""

from collections.abc import Iterator
from pathlib import Path

import pyarrow as pa

from analytics.db import open_store
from analytics.rows import RowTable, row_batches
from api.errors import ApiError
from api.row_formats import FORMATS
from ingest.whole_file import whole_file


class FileThere(ApiError):
    """The file to be written exists already."""

    code = "file_there"


class FileNotWritable(ApiError):
    """The file cannot be written."""

    code = "file_not_writable"


def export_rows(store: Path, player_id: str, table: str, form: str, target: Path) -> int:
    """Write the rows; returns how many.

    Raises:
        FileThere: nothing is replaced.
        FileNotWritable: nothing was half-written.
        NoSuchPlayer: the store has no such player.
    """
    if target.exists():
        raise FileThere(f"{target} is there already.", "name another file with --output.")
    named: RowTable = "swings" if table == "swings" else "shots"
    encode = next(one.encode for one in FORMATS if one.name == form)
    counted = [0]
    try:
        with (
            open_store(store, player_id) as connection,
            whole_file(target) as staged,
            staged.open("wb") as opened,
        ):
            reader = row_batches(connection, named)
            for part in encode(reader.schema, _counted(reader, counted)):
                opened.write(part)
    except OSError as error:
        raise FileNotWritable(
            f"{target} cannot be written: {error}.", "choose another folder."
        ) from error
    return counted[0]


def _counted(reader: pa.RecordBatchReader, counted: list[int]) -> Iterator[pa.RecordBatch]:
    for batch in reader:
        counted[0] += batch.num_rows
        yield batch
