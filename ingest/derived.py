"""Derived tables: answers that can be computed again, kept beside the imports they came from."""

import uuid
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq

from ingest.store_writing import StoreWriting
from schemas.store_paths import derived_dir


def write_derived(store: Path, player_id: str, name: str, table: pa.Table, key: str) -> Path:
    """Replace a derived table of a player at once; `key` says what it was computed from."""
    folder = derived_dir(store, player_id)
    with StoreWriting(store):
        folder.mkdir(parents=True, exist_ok=True)
        target = folder / f"{name}.parquet"
        staged = folder / f".{name}.{uuid.uuid4().hex[:8]}"
        marked = table.replace_schema_metadata({**(table.schema.metadata or {}), "key": key})
        pq.write_table(marked, staged, compression="zstd")
        staged.replace(target)
    return target


def derived_key(store: Path, player_id: str, name: str) -> str | None:
    """What a derived table was computed from; None when there is none."""
    return derived_metadata(store, player_id, name, "key")


def derived_metadata(store: Path, player_id: str, name: str, entry: str) -> str | None:
    """An entry of a derived table's metadata; None when there is none."""
    path = derived_dir(store, player_id) / f"{name}.parquet"
    if not path.is_file():
        return None
    found = (pq.read_schema(path).metadata or {}).get(entry.encode())
    return found.decode() if found else None
