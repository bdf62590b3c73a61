"""Undo and redo of one import, with what hangs on it named."""

from pathlib import Path
from typing import TypedDict

from api.after_change import after_change
from ingest.store import find_import, ledgers, read_ledger, redo, undo


class TakenBack(TypedDict):
    """What was taken back, and which corrections of its rows stay in the book."""

    import_id: str
    player_id: str
    source_name: str
    corrections_kept: list[str]


def take_back(store: Path, import_id: str) -> TakenBack:
    """Undo the import whose identity begins with `import_id`. Raises UnknownImport."""
    player_id, whole = find_import(store, import_id)
    folder = undo(store, player_id, whole)
    ledger = read_ledger(folder)
    since = [
        f"{entry.source_name} of {entry.imported_at_utc[:16]} ({entry.import_id[:20]})"
        for entry in ledgers(store, player_id)
        if entry.kind == "edits" and entry.imported_at_utc > ledger.imported_at_utc
    ]
    after_change(store, player_id)
    return TakenBack(
        import_id=whole,
        player_id=player_id,
        source_name=ledger.source_name,
        corrections_kept=since if ledger.kind != "edits" else [],
    )


def bring_back(store: Path, import_id: str) -> TakenBack:
    """Redo the import whose identity begins with `import_id`. Raises UnknownImport."""
    player_id, whole = find_import(store, import_id, undone=True)
    ledger = read_ledger(redo(store, player_id, whole))
    after_change(store, player_id)
    return TakenBack(
        import_id=whole,
        player_id=player_id,
        source_name=ledger.source_name,
        corrections_kept=[],
    )
