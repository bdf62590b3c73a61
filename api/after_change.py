"""What is computed anew once the files of a player have changed."""

from pathlib import Path

from api.pair_player import pair_player


def after_change(store: Path, player_id: str) -> None:
    """Pair the player's swings and balls again; stale pairs never stay."""
    pair_player(store, player_id)
