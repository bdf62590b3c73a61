"""The only writer of a store: an import is a folder that appears by one rename.

Rules
-----
1. A folder is written under `tmp/`, synced, then renamed to its place: all of it or nothing.
2. An import's identity comes from its content; committing the same twice is one import, from
   any number of processes, without a lock.
3. Nothing is edited in place. Undo moves the folder away by one rename, redo moves it back.
"""

import hashlib
import shutil
import uuid
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq
import zstandard

from ingest.errors import UnknownImport
from ingest.ledger import Ledger
from ingest.parquet_options import parquet_options
from ingest.store_writing import StoreWriting
from ingest.sync import sync, sync_all
from schemas.store_paths import (
    LEDGER,
    SOURCE,
    derived_dir,
    import_dir,
    player_dir,
    root,
    tmp_dir,
    undone_dir,
)

ROW_GROUP_ROWS = 10_000
SHORT_ROWS = 1_000
LONG_SOURCE_BYTES = 16 * 2**20
LEFT_OVER_AFTER = timedelta(days=1)


@dataclass(frozen=True)
class Pending:
    """An import ready to be committed: its ledger, its tables, and the bytes it came from.

    A table may stand in a Parquet file of its own already, under the store's `tmp/`, and so may
    the source be `packed` there.
    """

    ledger: Ledger
    tables: Mapping[str, pa.Table | Path]
    source: bytes | Path
    packed: Path | None = None


@dataclass(frozen=True)
class Committed:
    """What became of a pending import; `new` is False when the store already had it."""

    import_id: str
    new: bool
    folder: Path


@dataclass
class Batch:
    """Several imports that share their syncs: written as they come, visible after `commit`."""

    store: Path
    _staged: list[tuple[Path, Path]] = field(default_factory=list)

    def add(self, pending: Pending) -> Committed:
        """Write one import under `tmp/`; nothing is visible yet."""
        ledger = pending.ledger
        place = import_dir(self.store, ledger.player_id, ledger.import_id)
        if place.is_dir():
            return Committed(ledger.import_id, new=False, folder=place)
        with StoreWriting(self.store):
            staged = tmp_dir(self.store) / f"{ledger.import_id}.{uuid.uuid4().hex[:8]}"
            staged.mkdir(parents=True)
            try:
                _write_folder(staged, pending)
            except BaseException:
                shutil.rmtree(staged, ignore_errors=True)
                raise
        self._staged.append((staged, place))
        return Committed(ledger.import_id, new=True, folder=place)

    def commit(self) -> None:
        """Sync what was added, then make each folder visible by one rename."""
        with StoreWriting(self.store):
            folders = [staged for staged, _ in self._staged]
            sync_all([path for folder in folders for path in (*folder.iterdir(), folder)])
            for staged, place in self._staged:
                _rename(staged, place)
            for parent in {place.parent for _, place in self._staged}:
                sync(parent)
        self._staged.clear()

    def abandon(self) -> None:
        """Remove what was added and not committed."""
        for staged, _ in self._staged:
            shutil.rmtree(staged, ignore_errors=True)
        self._staged.clear()


def commit(store: Path, pending: Pending) -> Committed:
    """Commit one import. Raises StoreNotWritable, with nothing half-written."""
    batch = Batch(store)
    try:
        committed = batch.add(pending)
        batch.commit()
    finally:
        batch.abandon()
    return committed


def undo(store: Path, player_id: str, import_id: str, now: datetime | None = None) -> Path:
    """Take an import back by one rename; its folder's new name says when.

    Raises:
        UnknownImport: no such import stands for this player.
    """
    place = _known(import_dir(store, player_id, import_id))
    moment = now or datetime.now(UTC)
    away = undone_dir(store, player_id)
    with StoreWriting(store):
        away.mkdir(parents=True, exist_ok=True)
        target = away / f"{place.name}@{int(moment.timestamp() * 1e6)}"
        try:
            place.rename(target)
        except FileNotFoundError:  # somebody else was first
            _known(place)
            raise
        sync(place.parent)
        sync(away)
    return target


def redo(store: Path, player_id: str, import_id: str) -> Path:
    """Bring back the import that was taken back last under this identity, by one rename."""
    place = import_dir(store, player_id, import_id)
    away = sorted(undone_dir(store, player_id).glob(f"import={import_id}@*"))
    if not away:
        raise UnknownImport(
            f"No import {import_id} was taken back.", "list them with `carrybook imports --undone`."
        )
    if place.is_dir():
        return place
    with StoreWriting(store):
        try:
            away[-1].rename(place)
        except OSError:
            if place.is_dir():  # somebody else was first
                return place
            raise
        sync(place.parent)
        sync(away[-1].parent)
    return place


def erase(store: Path, player_id: str) -> list[str]:
    """Remove everything of a player from the store; returns what was removed, as store paths."""
    gone = []
    for folder in (
        player_dir(store, player_id),
        undone_dir(store, player_id),
        derived_dir(store, player_id),
    ):
        if folder.is_dir():
            gone += [str(path.relative_to(store)) for path in sorted(folder.rglob("*"))]
            with StoreWriting(store):
                shutil.rmtree(folder)
    return gone


def sweep(store: Path, now: datetime | None = None) -> int:
    """Remove left-overs of interrupted writes that are older than a day; returns how many."""
    moment = (now or datetime.now(UTC)).timestamp()
    swept = 0
    for folder in tmp_dir(store).glob("*"):
        with suppress(FileNotFoundError):
            if moment - folder.stat().st_mtime > LEFT_OVER_AFTER.total_seconds():
                if folder.is_dir():
                    shutil.rmtree(folder, ignore_errors=True)
                else:
                    folder.unlink()
                swept += 1
    return swept


def read_ledger(folder: Path) -> Ledger:
    """The ledger of an import's folder."""
    return Ledger.from_json((folder / LEDGER).read_text("utf-8"))


def ledgers(store: Path, player_id: str, *, undone: bool = False) -> list[Ledger]:
    """The ledgers of a player's imports that stand, or of those taken back, oldest first."""
    place = undone_dir(store, player_id) if undone else player_dir(store, player_id)
    found = []
    for folder in place.glob("import=*"):
        with suppress(FileNotFoundError):  # taken back, or brought back, since it was listed
            found.append(read_ledger(folder))
    return sorted(found, key=lambda ledger: (ledger.imported_at_utc, ledger.import_id))


def read_source(folder: Path) -> bytes:
    """The bytes as received."""
    with (folder / SOURCE).open("rb") as packed:
        return zstandard.ZstdDecompressor().stream_reader(packed).read()


def find_import(store: Path, start: str, *, undone: bool = False) -> tuple[str, str]:
    """(player_id, import_id) of the one import whose identity begins with `start`."""
    base = root(store) / "undone" if undone else root(store)
    hits = {
        (folder.parent.name.removeprefix("player="), folder.name[7:].partition("@")[0])
        for folder in base.glob(f"player=*/import={_glob_safe(start)}*")
    }
    if len(hits) != 1:
        said = "No import begins" if not hits else f"{len(hits)} imports begin"
        raise UnknownImport(
            f"{said} with {start!r}.", "list them with `carrybook imports`, and give more letters."
        )
    return hits.pop()


def file_sha256(source: bytes | Path) -> str:
    """SHA-256 of the bytes as received."""
    if isinstance(source, bytes):
        return hashlib.sha256(source).hexdigest()
    with source.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def _glob_safe(start: str) -> str:
    if not start or not all(letter in "0123456789abcdef" for letter in start):
        raise UnknownImport(f"{start!r} is no import.", "list them with `carrybook imports`.")
    return start


def _known(place: Path) -> Path:
    if not place.is_dir():
        raise UnknownImport(
            f"No import {place.name.removeprefix('import=')} stands for this player.",
            "list them with `carrybook imports`.",
        )
    return place


def write_table(table: pa.Table, name: str, target: Path) -> None:
    """Write rows of the table `name` as one Parquet file."""
    options = parquet_options(name, short=table.num_rows <= SHORT_ROWS)
    pq.write_table(table, target, row_group_size=ROW_GROUP_ROWS, **options)


def pack_source(source: bytes | Path, target: Path) -> None:
    """Keep the bytes as received, compressed."""
    if isinstance(source, bytes) or source.stat().st_size <= LONG_SOURCE_BYTES:
        data = source if isinstance(source, bytes) else source.read_bytes()
        target.write_bytes(zstandard.ZstdCompressor(level=1).compress(data))
        return
    with source.open("rb") as opened, target.open("wb") as packed:
        zstandard.ZstdCompressor(level=1, threads=-1).copy_stream(opened, packed)


def _write_folder(staged: Path, pending: Pending) -> None:
    for name, table in pending.tables.items():
        target = staged / f"{name}.parquet"
        if isinstance(table, Path):
            table.rename(target)
        else:
            write_table(table, name, target)
    if pending.packed is not None:
        pending.packed.rename(staged / SOURCE)
    else:
        pack_source(pending.source, staged / SOURCE)
    (staged / LEDGER).write_text(pending.ledger.to_json(), "utf-8")


def _rename(staged: Path, place: Path) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    try:
        staged.rename(place)
    except OSError:
        if not place.is_dir():
            raise
        shutil.rmtree(staged, ignore_errors=True)
