"""What a coach settles about a pairing: entries of their own, undone like any import."""

from collections.abc import Sequence
from pathlib import Path

from analytics.db import open_store
from analytics.pairing_session import player_logs
from ingest.edits import Correction, correct
from ingest.errors import BadOption


def settle_by_hand(
    store: Path, player_id: str, settled: Sequence[tuple[str, str, str]], *, by: str
) -> str:
    """Record (action, shot event or session, swing event or seconds); returns the import id.

    Raises:
        BadOption: a shot, swing or session that the player does not have.
    """
    with open_store(store, player_id) as connection:
        logs = player_logs(connection, player_id)
    shots = {event for one in logs.sessions for event in one.events}
    swings = {event for one in logs.blocks for event in one.events}
    sessions = {one.session_id for one in logs.sessions}
    for action, target, value in settled:
        known = target in sessions if action == "clock_offset" else target in shots
        if not known or (action != "clock_offset" and value not in swings):
            raise BadOption(
                f"{target} = {value} names no session, shot or swing of this player.",
                "take event ids from `carrybook export`, sessions from `carrybook pair --player`.",
            )
    corrections = [
        Correction(action, target, "sessions" if action == "clock_offset" else "shots", value)
        for action, target, value in settled
    ]
    return correct(store, player_id, corrections, by=by, reason="pairing by hand").import_id
