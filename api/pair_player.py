"""Keeps the pairs of a player in step with the player's files; computed only when those changed."""

import hashlib
import json
from dataclasses import asdict, dataclass
from pathlib import Path

from analytics.db import open_store
from analytics.pairing import PAIRING_VERSION
from analytics.pairing_session import SessionPairing, pair_sessions, pairs_table
from analytics.store_files import import_ids
from ingest.derived import derived_key, derived_metadata, write_derived

NAME = "pairs"
SESSIONS = "sessions"


@dataclass(frozen=True)
class ClockFound:
    """How the clocks of one session stand to each other, or why that is not known.

    offset_s: sensor clock − launch clock at the session's start, seconds.
    """

    session_id: str
    sensor_day: str | None
    swing_import_ids: tuple[str, ...]
    verdict: str
    reason: str
    mend: str
    offset_s: float | None
    drift_ppm: float | None
    residual_s: float | None
    margin: float | None
    steps: tuple[dict[str, float], ...]
    rivals_s: tuple[float, ...]
    n_shots: int
    n_swings: int
    n_pairs: int
    unpaired: tuple[tuple[str, str], ...]


def pair_player(store: Path, player_id: str) -> list[ClockFound]:
    """The sessions of a player with their clocks; pairs are computed anew when files changed."""
    key = _key(store, player_id)
    if derived_key(store, player_id, NAME) == key:
        text = derived_metadata(store, player_id, NAME, SESSIONS) or "[]"
        return [_from_json(entry) for entry in json.loads(text)]
    with open_store(store, player_id) as connection:
        sessions = pair_sessions(connection, player_id)
    found = [_clock_found(session) for session in sessions]
    table = pairs_table(sessions)
    metadata = {**(table.schema.metadata or {}), SESSIONS: json.dumps([asdict(f) for f in found])}
    write_derived(store, player_id, NAME, table.replace_schema_metadata(metadata), key)
    return found


def _key(store: Path, player_id: str) -> str:
    text = "\n".join([PAIRING_VERSION, *import_ids(store, player_id)])
    return hashlib.sha256(text.encode()).hexdigest()[:24]


def _clock_found(session: SessionPairing) -> ClockFound:
    found = session.pairing
    clock = found.clock if found else None
    return ClockFound(
        session_id=session.session_id,
        sensor_day=session.sensor_day.isoformat() if session.sensor_day else None,
        swing_import_ids=session.swing_import_ids,
        verdict=found.verdict if found else "cannot_pair",
        reason=found.reason if found else "no swings of that day, and no other day's fit",
        mend=found.mend if found else "bring in the tempo sensor's export of the session",
        offset_s=clock.offset_s if clock else None,
        drift_ppm=clock.drift_ppm if clock else None,
        residual_s=clock.residual_s if clock else None,
        margin=clock.margin if clock else None,
        steps=tuple(asdict(step) for step in clock.steps) if clock else (),
        rivals_s=tuple(rival.offset_s for rival in found.rivals) if found else (),
        n_shots=len(session.shot_ids),
        n_swings=len(session.swing_ids),
        n_pairs=len(found.pairs) if found else 0,
        unpaired=tuple(
            (session.shot_ids[row], why) for row, why in (found.unpaired if found else ())
        ),
    )


def _from_json(entry: dict[str, object]) -> ClockFound:
    plain = {
        key: tuple(value) if isinstance(value, list) else value for key, value in entry.items()
    }
    return ClockFound(**plain)  # type: ignore[arg-type]  # written by asdict just above
