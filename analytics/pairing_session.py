"""Pairs every session of a player: which day's swings belong to which day's balls, then who struck.

Rules
-----
1. A session's balls are tried with the swings that the sensor dated to the same day.
2. What is left on both sides is tried across days: a sensor with a wrong date costs nothing,
   because only the rhythm counts. Only a sure pairing is taken there.
3. A hand-made pin, a forbidden pair and a hand-set clock offset outrank what is computed.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

import pyarrow as pa

from analytics.db import Connection, ask
from analytics.pairing import PAIRING_VERSION, Pairing, pair
from analytics.pairing_logs import LaunchLog, SwingLog
from schemas.tables import arrow_schema

DAYS_APART_TRIED = 8
LAUNCH = ("time_s", "ball_speed_mps", "club_speed_mps", "carry_m")
SENSOR = ("time_s", "peak_speed_mps", "backswing_s", "downswing_s")


@dataclass(frozen=True)
class ByHand:
    """What a person said: pairs that hold, pairs that do not, clock offsets by session."""

    pins: frozenset[tuple[str, str]] = frozenset()
    forbids: frozenset[tuple[str, str]] = frozenset()
    offsets_s: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class SessionPairing:
    """One session's pairing. Rows of `pairing` count into the two lists of event ids."""

    session_id: str
    sensor_day: date | None
    shot_ids: tuple[str, ...]
    swing_ids: tuple[str, ...]
    swing_import_ids: tuple[str, ...]
    pairing: Pairing | None


def pair_sessions(connection: Connection, player_id: str) -> list[SessionPairing]:
    """Every session of a player that has balls, oldest first, paired where that can be."""
    asked = {"player_id": player_id}
    shots: dict[str, pa.Table] = _split(ask(connection, "pairing_shots", asked), "session_id")
    swings: dict[date, pa.Table] = _split(ask(connection, "pairing_swings", asked), "day")
    by_hand = _by_hand(ask(connection, "pairing_by_hand", asked))
    done: dict[str, SessionPairing] = {}
    left = dict(swings)
    for session_id, balls in shots.items():
        day = balls["day"][0].as_py()
        if day in swings:
            done[session_id] = _pair_one(session_id, balls, day, swings[day], by_hand)
            if _sure(done[session_id]):
                left.pop(day, None)
    for session_id, balls in shots.items():
        if session_id not in done or not _sure(done[session_id]):
            found = _across_days(session_id, balls, left, by_hand)
            if found is not None and found.sensor_day is not None:
                left.pop(found.sensor_day)
                done[session_id] = found
    return [done.get(session_id) or _alone(session_id, shots[session_id]) for session_id in shots]


def pairs_table(sessions: Iterable[SessionPairing]) -> pa.Table:
    """The `pairs` of these sessions, with every swing's role and every residual."""
    rows = [row for session in sessions for row in _rows(session)]
    return pa.Table.from_pylist(rows, schema=arrow_schema("pairs"))


def _rows(session: SessionPairing) -> Iterable[dict[str, object]]:
    found = session.pairing
    if found is None or found.verdict != "paired" or found.clock is None:
        return
    common = {"session_id": session.session_id, "fit_version": PAIRING_VERSION}
    shots, swings = session.shot_ids, session.swing_ids
    for one, residual_s in zip(found.pairs, found.residual_s, strict=True):
        yield common | {
            "shot_event_id": shots[one.shot],
            "swing_event_id": swings[one.swing],
            "role": "strike",
            "probability": one.probability,
            "clock_offset_s": found.clock.offset_s,
            "residual_s": residual_s,
        }
    for rehearsal in found.rehearsals:
        yield common | {
            "shot_event_id": None if rehearsal.shot is None else shots[rehearsal.shot],
            "swing_event_id": swings[rehearsal.swing],
            "role": rehearsal.role,
            "probability": rehearsal.probability,
            "clock_offset_s": found.clock.offset_s,
        }
    for swing, why in found.other:
        yield common | {
            "swing_event_id": swings[swing],
            "role": "other",
            "probability": 1.0,
            "why": why,
        }


def _pair_one(
    session_id: str, balls: pa.Table, day: date, swung: pa.Table, by_hand: ByHand
) -> SessionPairing:
    shot_ids = tuple(balls["event_id"].to_pylist())
    swing_ids = tuple(swung["event_id"].to_pylist())
    launch = LaunchLog(*(balls[name].to_numpy() for name in LAUNCH))
    sensor = SwingLog(*(swung[name].to_numpy() for name in SENSOR))
    found = pair(
        launch,
        sensor,
        pins=_rows_of(by_hand.pins, shot_ids, swing_ids),
        forbids=_rows_of(by_hand.forbids, shot_ids, swing_ids),
        offset_hint_s=by_hand.offsets_s.get(session_id),
    )
    imports = tuple(sorted(set(swung["import_id"].to_pylist())))
    return SessionPairing(session_id, day, shot_ids, swing_ids, imports, found)


def _across_days(
    session_id: str, balls: pa.Table, left: dict[date, pa.Table], by_hand: ByHand
) -> SessionPairing | None:
    day = balls["day"][0].as_py()
    nearest = sorted(left, key=lambda other: abs((other - day).days))
    for other in nearest[:DAYS_APART_TRIED]:
        if other == day:
            continue
        found = _pair_one(session_id, balls, other, left[other], by_hand)
        if _sure(found):
            return found
    return None


def _sure(session: SessionPairing) -> bool:
    return session.pairing is not None and session.pairing.verdict == "paired"


def _alone(session_id: str, balls: pa.Table) -> SessionPairing:
    return SessionPairing(session_id, None, tuple(balls["event_id"].to_pylist()), (), (), None)


def _split(rows: pa.Table, key: str) -> dict[Any, pa.Table]:
    """Rows by the value of a column; what type the values have, the caller knows."""
    keys = rows[key].to_pylist()
    groups: dict[Any, list[int]] = {}
    for index, value in enumerate(keys):
        groups.setdefault(value, []).append(index)
    return {value: rows.take(indices) for value, indices in groups.items()}


def _rows_of(
    named: frozenset[tuple[str, str]], shot_ids: tuple[str, ...], swing_ids: tuple[str, ...]
) -> list[tuple[int, int]]:
    shots = {event_id: row for row, event_id in enumerate(shot_ids)}
    swings = {event_id: row for row, event_id in enumerate(swing_ids)}
    return [
        (shots[shot], swings[swing])
        for shot, swing in sorted(named)
        if shot in shots and swing in swings
    ]


def _by_hand(said: pa.Table) -> ByHand:
    pins: dict[str, str] = {}
    forbids: set[tuple[str, str]] = set()
    offsets: dict[str, float] = {}
    for row in said.to_pylist():
        pair_said = (row["target_id"], row["value"])
        if row["action"] == "pin_pair":
            pins[row["target_id"]] = row["value"]
            forbids.discard(pair_said)
        elif row["action"] == "forbid_pair":
            forbids.add(pair_said)
            if pins.get(row["target_id"]) == row["value"]:
                del pins[row["target_id"]]
        else:
            offsets[row["target_id"]] = float(row["value"])
    return ByHand(frozenset(pins.items()), frozenset(forbids), offsets)
