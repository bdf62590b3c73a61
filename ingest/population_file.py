"""What the players of a store have in common: one small file per moment it was learnt.

A file is never changed, so that an answer as of a day rests on what was known then. When a player
is erased all of them go (`forget_populations`): what was learnt with the player is not kept.
"""

import shutil
import time
from pathlib import Path

import pyarrow as pa

from ingest.store_writing import StoreWriting
from ingest.whole_file import file_entry, write_keyed_table
from schemas.store_paths import population_dir, tmp_dir


def write_population(store: Path, table: pa.Table, learnt_at_ns: int, key: str) -> Path:
    """Keep what was learnt from the rows that stood at `learnt_at_ns` (UTC, since 1970).

    Args:
        table: rows of `population`; none at all where too few players are there.
        key: what tells when to learn anew.
    """
    target = population_dir(store) / f"{learnt_at_ns:020d}.parquet"
    with StoreWriting(store):
        write_keyed_table(target, table, key)
    return target


def population_key(store: Path) -> str | None:
    """The key of what was learnt last; None when nothing ever was."""
    files = sorted(population_dir(store).glob("*.parquet"))
    try:
        return file_entry(files[-1]) if files else None
    except FileNotFoundError:  # forgotten meanwhile
        return None


def forget_populations(store: Path) -> list[str]:
    """Remove all that was ever learnt; returns what was removed, as store paths."""
    folder = population_dir(store)
    if not folder.is_dir():
        return []
    away = tmp_dir(store) / f"population.{time.time_ns()}"  # where left-overs are swept
    with StoreWriting(store):
        away.parent.mkdir(parents=True, exist_ok=True)
        gone = [str(path.relative_to(store)) for path in sorted(folder.glob("*.parquet"))]
        try:
            folder.rename(away)
        except FileNotFoundError:  # another erasure was first
            return []
        shutil.rmtree(away)
    return gone
