"""What a coach settles about a pairing: entries of their own, undone like any import."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from analytics.db import open_store
from analytics.pairing_session import PlayerLogs, player_logs
from api.errors import Problem
from api.pair_player import SessionMap, pair_player
from ingest.edits import Correction, correct

TABLE = {"clock_offset": "sessions", "role": "swings", "pin_pair": "shots", "forbid_pair": "shots"}
REHEARSAL_ROLES = ("rehearse_long", "rehearse_short", "rehearse")
ROLES = (*REHEARSAL_ROLES, "warm_up", "other")


@dataclass(frozen=True)
class SettledPairing:
    """The entry that holds the settlement, and the sessions it changed."""

    import_id: str
    sessions: tuple[SessionMap, ...]


def settle(
    store: Path, player_id: str, action: str, target: str, value: str, *, by: str
) -> SettledPairing:
    """Record one settlement and pair again.

    Raises:
        Problem: a shot, swing or session that the player does not have.
    """
    before = {one.session_id: one for one in pair_player(store, player_id)}
    import_id = settle_by_hand(store, player_id, [(action, target, value)], by=by)
    after = pair_player(store, player_id)
    changed = tuple(one for one in after if before.get(one.session_id) != one)
    return SettledPairing(import_id, changed)


def settle_by_hand(
    store: Path, player_id: str, settled: Sequence[tuple[str, str, str]], *, by: str
) -> str:
    """Record (action, target, value) of each settlement; returns the import id.

    `clock_offset`: session, seconds. `pin_pair`, `forbid_pair`: shot event, swing event. `role`:
    swing event, one of `ROLES`, with `=shot event` behind it when it rehearsed that shot.

    Raises:
        Problem: a shot, swing or session that the player does not have, or no such role.
    """
    with open_store(store, player_id) as connection:
        logs = player_logs(connection, player_id)
    for action, target, value in settled:
        _known(logs, action, target, value)
    corrections = [
        Correction(action, target, TABLE[action], value) for action, target, value in settled
    ]
    return correct(store, player_id, corrections, by=by, reason="pairing by hand").import_id


def _known(logs: PlayerLogs, action: str, target: str, value: str) -> None:
    shots = {event for one in logs.sessions for event in one.events}
    swings = {event for one in logs.blocks for event in one.events}
    if action == "clock_offset":
        fits = target in {one.session_id for one in logs.sessions}
    elif action == "role":
        role, _, shot = value.partition("=")
        fits = target in swings and role in ROLES and (not shot or shot in shots)
    else:
        fits = target in shots and value in swings
    if not fits:
        raise Problem(
            404,
            "no_such_row",
            f"{target} = {value} names no session, shot, swing or role of this player.",
            "Take event ids from the rows, sessions from the list of pairings.",
        )
