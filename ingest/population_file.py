"""What the players of a store have in common: one small file per moment it was learnt.

A file is never changed, so that an answer as of a day rests on what was known then. When a player
is erased all of them go (`forget_populations`): what was learnt with the player is not kept.
"""

import shutil
import time
import uuid
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq

from ingest.store_writing import StoreWriting
from schemas.store_paths import population_dir


def write_population(store: Path, table: pa.Table, learnt_at_ns: int, key: str) -> Path:
    """Keep what was learnt from the rows that stood at `learnt_at_ns` (UTC, since 1970).

    Args:
        table: rows of `population`; none at all where too few players are there.
        key: what tells when to learn anew.
    """
    folder = population_dir(store)
    with StoreWriting(store):
        folder.mkdir(parents=True, exist_ok=True)
        target = folder / f"{learnt_at_ns:020d}.parquet"
        staged = folder / f".{uuid.uuid4().hex[:8]}"
        marked = table.replace_schema_metadata({**(table.schema.metadata or {}), "key": key})
        pq.write_table(marked, staged, compression="zstd")
        staged.replace(target)
    return target


def population_key(store: Path) -> str | None:
    """The key of what was learnt last; None when nothing ever was."""
    files = sorted(population_dir(store).glob("*.parquet"))
    if not files:
        return None
    found = (pq.read_schema(files[-1]).metadata or {}).get(b"key")
    return found.decode() if found else None


def forget_populations(store: Path) -> list[str]:
    """Remove all that was ever learnt; returns what was removed, as store paths."""
    folder = population_dir(store)
    if not folder.is_dir():
        return []
    away = folder.with_name(f".population.{time.time_ns()}")
    with StoreWriting(store):
        gone = [str(path.relative_to(store)) for path in sorted(folder.glob("*.parquet"))]
        folder.rename(away)
        shutil.rmtree(away)
    return gone
