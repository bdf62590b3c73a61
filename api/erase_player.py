"""Erases a player everywhere: store, answers computed from it, and the service's own state."""

from pathlib import Path

from ingest.store import erase


def erase_player(store: Path, player_id: str) -> list[str]:
    """Remove all of a player; returns what was removed, for the record."""
    return erase(store, player_id)
