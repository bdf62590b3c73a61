"""What must be computed anew once the files of a player have changed."""

from pathlib import Path

from ingest.derived import drop_derived


def after_change(store: Path, player_id: str) -> None:
    """Drop answers that were computed from files that stood before."""
    drop_derived(store, player_id)
