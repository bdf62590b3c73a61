"""Derived tables: answers that can be computed again, kept beside the imports they came from.

Each writing has a name of its own and the newest counts: a reader that has seen the head of a file
never finds another file's rows under the same name. The one before stays for readers under way.
"""

import shutil
import time
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq

from ingest.store_writing import StoreWriting
from ingest.whole_file import KEY, file_entry, write_keyed_table
from schemas.store_paths import derived_dir, player_dir

KEPT = 2
READERS_DONE_S = 120.0


def write_derived(store: Path, player_id: str, name: str, table: pa.Table, key: str) -> Path:
    """Replace a derived table of a player at once; `key` says what it was computed from.

    Of a player who was erased while it was computed nothing stays.
    """
    target = derived_dir(store, player_id) / f"{name}.{time.time_ns():020d}.parquet"
    with StoreWriting(store):
        write_keyed_table(target, table, key)
        _remove_old(derived_files(store, player_id, name)[:-KEPT])
    if not player_dir(store, player_id).is_dir():
        shutil.rmtree(derived_dir(store, player_id), ignore_errors=True)
    return target


def _remove_old(files: list[Path]) -> None:
    """Remove what no reader can still be reading, however quickly new writings follow."""
    for old in files:
        try:
            if time.time() - old.stat().st_mtime > READERS_DONE_S:
                old.unlink(missing_ok=True)
        except FileNotFoundError:  # another process was quicker
            continue


def derived_files(store: Path, player_id: str, name: str) -> list[Path]:
    """The writings of a derived table, the newest last."""
    return sorted(derived_dir(store, player_id).glob(f"{name}.*.parquet"))


def derived_key(store: Path, player_id: str, name: str) -> str | None:
    """What a derived table was computed from; None when there is none."""
    return derived_metadata(store, player_id, name, KEY)


def derived_metadata(store: Path, player_id: str, name: str, entry: str) -> str | None:
    """An entry of a derived table's metadata; None when there is none."""
    files = derived_files(store, player_id, name)
    return file_entry(files[-1], entry) if files else None


def read_derived(store: Path, player_id: str, name: str) -> pa.Table | None:
    """A derived table of a player as it was last written; None when there is none."""
    files = derived_files(store, player_id, name)
    return pq.read_table(files[-1], partitioning=None) if files else None
