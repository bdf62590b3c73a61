"""Examines the installation and a store: what is there, what is sound, how to mend the rest."""

import os
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import pyarrow.parquet as pq
import zstandard

from ingest.errors import IngestError
from ingest.players import all_players
from ingest.store import file_sha256, read_ledger, read_source
from schemas.store_paths import root, tmp_dir
from schemas.tables import arrow_schema

UNREADABLE = (OSError, ValueError, TypeError, KeyError, IngestError, zstandard.ZstdError)
LIBRARIES = ("polars", "pyarrow", "duckdb", "fastapi", "pydantic", "numpy", "scipy")


@dataclass(frozen=True)
class Finding:
    """One thing looked at."""

    what: str
    sound: bool
    said: str
    mend: str = ""


def examine(store: Path) -> list[Finding]:
    """Everything looked at, in order; reads every file of the store, writes nothing."""
    return [_python(), *_libraries(), *_store(store)]


def _python() -> Finding:
    here = ".".join(str(part) for part in sys.version_info[:3])
    return Finding("Python", sys.version_info >= (3, 11), here, "")


def _libraries() -> Iterator[Finding]:
    for name in LIBRARIES:
        try:
            yield Finding(name, True, version(name))
        except PackageNotFoundError:
            yield Finding(name, False, "not installed", "run `make setup`.")


def _store(store: Path) -> Iterator[Finding]:
    if not root(store).is_dir():
        yield Finding("store", True, f"{store} is empty", "")
        return
    writable = os.access(root(store), os.W_OK)
    mend = "" if writable else "give this user the right to write there."
    yield Finding("store", writable, f"{store}{'' if writable else ' cannot be written to'}", mend)
    left = len(list(tmp_dir(store).glob("*")))
    yield Finding("left-overs", True, f"{left} in tmp/, swept by the next import after a day")
    for player in all_players(store):
        folders = sorted((root(store) / f"player={player.player_id}").glob("import=*"))
        faults = [fault for folder in folders for fault in _faults(folder)]
        said = "; ".join(faults) if faults else f"{len(folders)} imports sound"
        mend = "restore the folder from a backup, or undo the import and take the file in again."
        yield Finding(f"player {player.player_id}", not faults, said, mend if faults else "")


def _faults(folder: Path) -> Iterator[str]:
    short = folder.name[:20]
    try:
        ledger = read_ledger(folder)
        if file_sha256(read_source(folder)) != ledger.source_sha256:
            yield f"{short}: the bytes as received have changed"
        counted = ledger.rows_kept + ledger.rows_set_aside + ledger.rows_repeated
        if counted != ledger.rows_in:
            yield f"{short}: {ledger.rows_in} rows in, {counted} accounted for"
        for table in ledger.tables:
            stored = pq.read_schema(folder / f"{table}.parquet")
            missing = set(arrow_schema(table).names) - set(stored.names)
            if missing:
                yield f"{short}: {table} lacks {', '.join(sorted(missing))}"
    except UNREADABLE as error:
        yield f"{short}: cannot be read ({error})"
