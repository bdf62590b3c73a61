"""Which files of a store a question reads: all that stands, or all that stood at a moment."""

import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from schemas.store_paths import LEDGER, PLAYER, derived_dir, player_dir, root, undone_dir


@dataclass
class StoreFiles:
    """Paths by table, and the small documents already read."""

    tables: dict[str, list[str]] = field(default_factory=dict)
    ledgers: list[dict[str, object]] = field(default_factory=list)
    players: list[dict[str, object]] = field(default_factory=list)
    pairs: list[str] = field(default_factory=list)


def scan(store: Path, player_id: str | None, as_of: datetime | None = None) -> StoreFiles:
    """The files of one player, or of all; `as_of` (UTC) takes those that stood then."""
    files = StoreFiles()
    for folder in _player_folders(store, player_id):
        player = folder / PLAYER
        if player.is_file():
            files.players.append(_document(player))
        _scan_imports(_stood(store, folder, as_of), as_of, files)
        pairs = sorted(derived_dir(store, _id_of(folder)).glob("pairs.*.parquet"))
        files.pairs.extend(str(newest.resolve()) for newest in pairs[-1:])
    return files


def version(store: Path, player_id: str | None = None) -> str:
    """A short text that changes whenever an answer about this player, or about any, may change."""
    digest = hashlib.sha256()
    for folder in _player_folders(store, player_id):
        names = sorted(entry.name for entry in os.scandir(folder))
        player = folder / PLAYER
        stamp = player.stat().st_mtime_ns if player.is_file() else 0
        digest.update("\0".join([folder.name, str(stamp), *names, ""]).encode())
    return digest.hexdigest()[:24]


def import_ids(store: Path, player_id: str) -> list[str]:
    """The imports of a player that stand now, sorted."""
    folder = player_dir(store, player_id)
    return sorted(entry.name.removeprefix("import=") for entry in folder.glob("import=*"))


def _player_folders(store: Path, player_id: str | None) -> list[Path]:
    if player_id is not None:
        folder = player_dir(store, player_id)
        return [folder] if folder.is_dir() else []
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
