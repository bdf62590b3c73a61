"""Erases a player everywhere: store, answers computed from it, and the service's own state."""

from pathlib import Path

from analytics.db import forget_answers
from api.forgetting import forget_player
from api.learn_population import learn_without
from api.service_state import ServiceState
from ingest.store import erase
from schemas.store_paths import service_file


def erase_player(store: Path, player_id: str, state: ServiceState | None = None) -> list[str]:
    """Remove all of a player; returns what was removed, for the record.

    `state` is the open state of a running service; without one the file is opened if it is there.
    """
    removed = erase(store, player_id)
    forget_answers()
    removed += learn_without(store)
    if state is not None:
        return removed + forget_player(state, player_id)
    if not service_file(store).is_file():
        return removed
    opened = ServiceState(store)
    try:
        return removed + forget_player(opened, player_id)
    finally:
        opened.close()
