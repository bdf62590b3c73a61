"""Which files of a store a question reads: all that stands, or all that stood at a moment."""

import hashlib
import json
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq

from schemas.store_paths import (
    LEDGER,
    PLAYER,
    derived_dir,
    player_dir,
    population_dir,
    root,
    undone_dir,
)
from schemas.tables import arrow_schema


@dataclass
class StoreFiles:
    """Paths by table, and the small documents already read."""

    tables: dict[str, list[str]] = field(default_factory=dict)
    ledgers: list[dict[str, object]] = field(default_factory=list)
    players: list[dict[str, object]] = field(default_factory=list)
    pairs: list[str] = field(default_factory=list)
    population: list[str] = field(default_factory=list)


def scan(
    store: Path, players: str | Sequence[str] | None, as_of: datetime | None = None
) -> StoreFiles:
    """The files of one player, of some, or of all; `as_of` (UTC) takes those that stood then.

    What was learnt of all players belongs to a single one's files only: whoever asks about many
    has them to learn from.
    """
    files = StoreFiles()
    if isinstance(players, str):
        files.population = _learnt(store, as_of)
    for folder in _player_folders(store, players):
        player = folder / PLAYER
        if player.is_file():
            files.players.append(_document(player))
        _scan_imports(_stood(store, folder, as_of), as_of, files)
        pairs = sorted(derived_dir(store, _id_of(folder)).glob("pairs.*.parquet"))
        files.pairs.extend(str(newest.resolve()) for newest in pairs[-1:])
    return files


@lru_cache(maxsize=10_000)
def is_complete(path: str, table: str) -> bool:
    """Whether a file (never changed once written) has every column that its table has today."""
    try:
        names = set(pq.read_schema(path).names)
    except (OSError, pa.ArrowInvalid):  # moved or damaged: the question itself will say so
        return True
    return names.issuperset(arrow_schema(table).names)


def version(store: Path, player_id: str | None = None) -> str:
    """A short text that changes whenever an answer about this player, or about any, may change."""
    digest = hashlib.sha256()
    for folder in _player_folders(store, player_id):
        names = sorted(entry.name for entry in os.scandir(folder))
        player = folder / PLAYER
        stamp = player.stat().st_mtime_ns if player.is_file() else 0
        digest.update("\0".join([folder.name, str(stamp), *names, ""]).encode())
    if player_id is not None:
        digest.update("\0".join(Path(path).name for path in _learnt(store, None)).encode())
    return digest.hexdigest()[:24]


def import_ids(store: Path, player_id: str) -> list[str]:
    """The imports of a player that stand now, sorted."""
    folder = player_dir(store, player_id)
    return sorted(entry.name.removeprefix("import=") for entry in folder.glob("import=*"))


def _learnt(store: Path, as_of: datetime | None) -> list[str]:
    """The newest file of what players have in common that stood then, or none."""
    files = sorted(population_dir(store).glob("*.parquet"))
    if as_of is not None:
        asked = as_of.timestamp() * 1e9
        files = [path for path in files if int(path.stem) <= asked]
    return [str(path.resolve()) for path in files[-1:]]


def _player_folders(store: Path, players: str | Sequence[str] | None) -> list[Path]:
    if players is not None:
        names = [players] if isinstance(players, str) else players
        folders = [player_dir(store, name) for name in names]
        return [folder for folder in folders if folder.is_dir()]
    if not root(store).is_dir():
        return []
    return sorted(root(store).glob("player=*"))


def _id_of(folder: Path) -> str:
    return folder.name.removeprefix("player=")


def _stood(store: Path, folder: Path, as_of: datetime | None) -> Iterator[Path]:
    yield from sorted(folder.glob("import=*"))
    if as_of is None:
        return
    for undone in sorted(undone_dir(store, _id_of(folder)).glob("import=*@*")):
        microseconds = int(undone.name.rpartition("@")[2])
        if datetime.fromtimestamp(microseconds / 1e6, UTC) > as_of:
            yield undone


def _scan_imports(folders: Iterator[Path], as_of: datetime | None, files: StoreFiles) -> None:
    standing: list[tuple[Path, dict[str, object]]] = []
    replaced: set[str] = set()
    for folder in folders:
        ledger = _document(folder / LEDGER)
        imported_at = datetime.fromisoformat(str(ledger["imported_at_utc"]))
        if as_of is not None and imported_at > as_of:
            continue
        standing.append((folder, ledger))
        if ledger.get("supersedes"):
            replaced.add(str(ledger["supersedes"]))
    for folder, ledger in standing:
        if ledger["import_id"] in replaced:
            continue
        files.ledgers.append(ledger)
        names = ledger["tables"]
        assert isinstance(names, list)
        for name in names:
            files.tables.setdefault(name, []).append(str((folder / f"{name}.parquet").resolve()))


def _document(path: Path) -> dict[str, object]:
    parsed: dict[str, object] = json.loads(path.read_text("utf-8"))
    return parsed
