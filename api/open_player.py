"""Opens a player's part of the store for questions, with pairs that fit the files that stand."""

from pathlib import Path

from analytics.db import Connection, open_store
from api.pair_player import pair_player
from ingest.errors import StoreNotWritable
from ingest.players import all_players


def open_player(store: Path, player_id: str) -> Connection:
    """As `open_store`, after pairing anew where files or the pairing's version have changed.

    A store that cannot be written to is read as it is.
    """
    bring_up_to_date(store, player_id)
    return open_store(store, player_id)


def bring_up_to_date(store: Path, player_id: str) -> None:
    """Pair a player's sessions where the stored pairs no longer fit."""
    try:
        pair_player(store, player_id)
    except StoreNotWritable:
        return


def bring_all_up_to_date(store: Path) -> None:
    """The same for every player: after an upgrade, or files that came from elsewhere."""
    for player in all_players(store):
        bring_up_to_date(store, player.player_id)
