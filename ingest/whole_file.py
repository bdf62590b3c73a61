"""A file that appears whole or not at all: written beside its place, then renamed into it."""

import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq

from ingest.sync import sync

KEY = "key"


@contextmanager
def whole_file(target: Path, *, lasting: bool = False) -> Iterator[Path]:
    """A path to write to, beside `target`, which becomes `target` when the writing went well.

    What stood at `target` is replaced in that moment; nothing is left where the writing failed.

    Args:
        lasting: also make it outlast a power cut, which what can be computed again need not.
    """
    staged = target.with_name(f".{target.name}.{uuid.uuid4().hex}")
    try:
        yield staged
        if lasting:
            sync(staged)
        staged.replace(target)
    finally:
        staged.unlink(missing_ok=True)
    if lasting:
        sync(target.parent)


def write_keyed_table(target: Path, table: pa.Table, key: str) -> None:
    """Write a table that can be computed again; `key` says what it was computed from."""
    marked = table.replace_schema_metadata({**(table.schema.metadata or {}), KEY: key})
    target.parent.mkdir(parents=True, exist_ok=True)
    with whole_file(target) as staged:
        pq.write_table(marked, staged, compression="zstd")


def file_entry(path: Path, entry: str = KEY) -> str | None:
    """An entry of a Parquet file's metadata; None when it has none of that name."""
    found = (pq.read_schema(path).metadata or {}).get(entry.encode())
    return found.decode() if found else None
