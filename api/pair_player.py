"""Pairs a player's sessions in the store and keeps the result beside the imports.

The result is derived: it carries a key made of what it was computed from (imports, corrections,
version of the pairing) and is computed again when that key no longer fits.
"""

import hashlib
import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pyarrow as pa

from analytics.db import open_store
from analytics.pairing import PAIRING_VERSION, Pairing
from analytics.pairing_blocks import ByHand, Part, SessionPairing, inputs_key, pair_sessions
from analytics.pairing_session import PlayerLogs, player_logs
from analytics.store_files import import_ids
from ingest.derived import derived_key, derived_metadata, read_derived, write_derived
from schemas.tables import arrow_schema

PAIRS, MAPS = "pairs", "sessions"
NO_SWINGS = "No swings are in the store for this session."
NO_SWINGS_MEND = "Import the sensor's export of that day."


@dataclass(frozen=True)
class SessionMap:
    """How a session's two logs were brought together, and what stayed unpaired, with why.

    offset_s: sensor clock − launch clock at the session's first shot, seconds.
    steps: where the offset changed suddenly, as `at_utc` and `size_s`.
    unpaired, other: how many shots and swings stayed alone, by reason.
    """

    session_id: str
    verdict: str
    reason: str
    mend: str
    offset_s: float | None
    drift_ppm: float | None
    steps: list[dict[str, str | float]]
    residual_s: float | None
    margin: float | None
    rival_offsets_s: list[float]
    n_shots: int
    n_swings: int
    n_pairs: int
    n_rehearsals: int
    unpaired: dict[str, int]
    other: dict[str, int]
    import_ids: list[str]
    fit_version: str
    inputs: str


def pair_player(store: Path, player_id: str) -> list[SessionMap]:
    """The player's sessions with their clock maps, oldest first; paired anew when files changed.

    Raises:
        NoSuchPlayer: the store has no such player.
    """
    key = _key(store, player_id)
    if derived_key(store, player_id, PAIRS) == key:
        text = derived_metadata(store, player_id, PAIRS, MAPS) or "[]"
        return [SessionMap(**entry) for entry in json.loads(text)]
    with open_store(store, player_id) as connection:
        logs = player_logs(connection, player_id)
    kept = _unchanged(store, player_id, logs)
    again = [one for one in logs.sessions if one.session_id not in kept.maps]
    blocks = [one for one in logs.blocks if kept.swings.isdisjoint(one.events)]
    found = pair_sessions(again, blocks, logs.by_hand)
    fresh = {one.session.session_id: _map(one, logs.by_hand) for one in found} | kept.maps
    maps = [fresh[one.session_id] for one in logs.sessions]
    rows = [*kept.rows, *(row for one in found for row in _rows(one))]
    table = pa.Table.from_pylist(rows, schema=arrow_schema(PAIRS))
    said = json.dumps([asdict(one) for one in maps])
    metadata = {**(table.schema.metadata or {}), MAPS: said}
    write_derived(store, player_id, PAIRS, table.replace_schema_metadata(metadata), key)
    return maps


@dataclass(frozen=True)
class _Kept:
    """Sessions whose shots, swings and settlements are as they were: their maps and rows."""

    maps: dict[str, SessionMap] = field(default_factory=dict)
    rows: list[dict[str, object]] = field(default_factory=list)
    swings: set[str] = field(default_factory=set)


def _unchanged(store: Path, player_id: str, logs: PlayerLogs) -> _Kept:
    """What of the last pairing still stands, so that one new file does not redo a season."""
    kept = _Kept()
    text = derived_metadata(store, player_id, PAIRS, MAPS)
    table = read_derived(store, player_id, PAIRS)
    if text is None or table is None:
        return kept
    entries = json.loads(text)
    before = {one["session_id"]: one for one in entries if one.get("inputs")}
    rows_of: dict[str, list[dict[str, object]]] = {}
    for row in table.to_pylist():
        rows_of.setdefault(str(row["session_id"]), []).append(row)
    for session in logs.sessions:
        old, rows = before.get(session.session_id), rows_of.get(session.session_id, [])
        used = {str(row["swing_event_id"]) for row in rows}
        blocks = [one for one in logs.blocks if not used.isdisjoint(one.events)]
        if old and rows and old["inputs"] == inputs_key(session, blocks, logs.by_hand):
            kept.maps[session.session_id] = SessionMap(**old)
            kept.rows.extend(rows)
            kept.swings.update(used)
    return kept


def _key(store: Path, player_id: str) -> str:
    """Changes with the imports that stand (corrections are imports too) and with the version."""
    parts = [PAIRING_VERSION, *import_ids(store, player_id)]
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


def _rows(one: SessionPairing) -> Iterator[dict[str, object]]:
    for part in one.parts:
        if part.pairing.pairs:
            yield from _part_rows(one, part)


def _part_rows(one: SessionPairing, part: Part) -> Iterator[dict[str, object]]:
    """A row per swing of the block: strike, rehearsal, warm-up or other."""
    found, clock = part.pairing, part.pairing.clock

    def row(shot: int | None, swing: int, role: str, probability: float) -> dict[str, object]:
        at = None if shot is None else part.shots[shot]
        offset = None
        if clock is not None and at is not None:
            offset = float(clock.offset_at(one.session.log.times_s[at : at + 1])[0])
        return {
            "session_id": one.session.session_id,
            "shot_event_id": None if at is None else one.session.events[at],
            "swing_event_id": part.block.events[swing],
            "role": role,
            "probability": min(max(probability, 0.0), 1.0),
            "clock_offset_s": offset,
            "residual_s": None,
            "why": None,
            "shot_import_id": None if at is None else one.session.imports[at],
            "swing_import_id": part.block.imports[swing],
            "fit_version": PAIRING_VERSION,
        }

    for pair, residual in zip(found.pairs, found.residual_s, strict=True):
        yield row(pair.shot, pair.swing, "strike", pair.probability) | {"residual_s": residual}
    for rehearsal in found.rehearsals:
        yield row(rehearsal.shot, rehearsal.swing, rehearsal.role, rehearsal.probability)
    for (swing, why), probability in zip(found.other, found.other_probability, strict=True):
        role = "warm_up" if why.startswith("warm_up") else "other"
        yield row(None, swing, role, probability) | {"why": why}


def _map(one: SessionPairing, by_hand: ByHand) -> SessionMap:
    first = one.parts[0].pairing if one.parts else Pairing("cannot_pair", NO_SWINGS, NO_SWINGS_MEND)
    clock = first.clock
    paired = {part.shots[p.shot] for part in one.parts for p in part.pairing.pairs}
    why_not = {
        part.shots[row]: why for part in reversed(one.parts) for row, why in part.pairing.unpaired
    }
    imports = {name for part in one.parts for name in part.block.imports} | {*one.session.imports}
    return SessionMap(
        session_id=one.session.session_id,
        verdict=first.verdict,
        reason=first.reason,
        mend=first.mend,
        offset_s=None if clock is None else round(clock.offset_s, 4),
        drift_ppm=None if clock is None else round(clock.drift_ppm, 3),
        steps=[]
        if clock is None
        else [{"at_utc": _instant(s.at_s), "size_s": round(s.size_s, 4)} for s in clock.steps],
        residual_s=None if clock is None else round(clock.residual_s, 4),
        margin=None if clock is None else round(clock.margin, 2),
        rival_offsets_s=[round(rival.offset_s, 2) for rival in first.rivals],
        n_shots=len(one.session.events),
        n_swings=sum(len(part.block.events) for part in one.parts),
        n_pairs=len(paired),
        n_rehearsals=sum(len(part.pairing.rehearsals) for part in one.parts),
        unpaired=dict(Counter(why for row, why in why_not.items() if row not in paired)),
        other=dict(Counter(why for part in one.parts for _, why in part.pairing.other)),
        import_ids=sorted(imports),
        fit_version=PAIRING_VERSION,
        inputs=inputs_key(one.session, [part.block for part in one.parts], by_hand)
        if first.verdict == "paired"
        else "",
    )


def _instant(at_s: float) -> str:
    moment = datetime.fromtimestamp(float(np.round(at_s, 3)), UTC)
    return moment.isoformat().replace("+00:00", "Z")
