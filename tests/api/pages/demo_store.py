"""The demo's players in a store, written as SI rows without reading any file: quick and exact.

`fill(store)` writes the simulated shots, swings, marks, tests and conditions of the demo, and the
true pairs as the derived answer, so that pages can be tested apart from reading and pairing.
"""

import hashlib
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta
from math import radians, tan
from pathlib import Path

import pyarrow as pa

from demo_data.book import make_book
from demo_data.cast import COACH, FOOT_M, PLACE, PLAYERS, SEED, WEEKS, ZONE, day_of
from demo_data.cast import Player as Cast
from demo_data.clock import started_utc
from demo_data.ground import FALL_LINE_DEG, GATE_WIDTH_IN, SLOPE_DEG, conditions, marks
from demo_data.scored_tests import TEST, attempt
from demo_data.session import Session
from ingest.derived import write_derived
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from schemas.tables import arrow_schema

Rows = list[dict[str, object]]


def fill(store: Path, names: Sequence[str] = (), coach: str | None = COACH) -> None:
    """Write the demo's players of these names (all when none are given) into `store`."""
    book = make_book()
    for one in PLAYERS:
        if names and one.name not in names:
            continue
        save_player(store, card_of(one, coach))
        sessions = [d.session for d in book.days if d.session.player == one]
        for table, rows in tables(one, sessions):
            enter(store, one.player_id, table, rows, source_name=f"{table} of {one.name}")
        pairs = [row for session in sessions for row in _pairs(session)]
        schema = arrow_schema("pairs")
        found = pa.Table.from_pylist([dict.fromkeys(schema.names) | r for r in pairs], schema)
        write_derived(store, one.player_id, "pairs", found, "as simulated")


def card_of(one: Cast, coach: str | None) -> Player:
    return Player(
        one.player_id,
        one.name,
        "left" if one.handedness == "left" else "right",
        "junior" if one.age_band == "junior" else "adult",
        one.guardian_consent,
        ZONE,
        coach,
    )


def tables(one: Cast, sessions: Sequence[Session]) -> Iterable[tuple[str, Rows]]:
    yield "sessions", [_conditions(one, week) for week in range(WEEKS)]
    for session in sessions:
        yield "shots", shots_of(session)
        yield "swings", _swings(session)
        yield "marks", _marks(session)
    yield "scores", [row for week in range(WEEKS) for row in _scores(one, week)]


def _event(session: Session, kind: str, number: int) -> str:
    return f"{session.player.player_id}-{kind}-{session.week}-{number}"


def _hashed(entry_id: str) -> str:
    return hashlib.sha256(entry_id.encode()).hexdigest()[:16]


def _pairs(session: Session) -> Rows:
    return [
        {
            "session_id": f"{session.player.player_id}:{day_of(session.week):%Y-%m-%d}",
            "shot_event_id": _hashed(_event(session, "shot", s.ball)) if s.ball else None,
            "swing_event_id": _hashed(_event(session, "swing", number)),
            "role": s.role,
            "probability": 0.99,
            "fit_version": "1",
        }
        for number, s in enumerate(session.swings, start=1)
    ]


def _moment(session: Session, at_s: float) -> datetime:
    instant = started_utc(session.player, session.week) + timedelta(seconds=at_s)
    return instant.astimezone(UTC).replace(microsecond=0)


def shots_of(session: Session) -> Rows:
    return [
        {
            "entry_id": _event(session, "shot", shot.ball),
            "device_number": shot.ball,
            "struck_at_utc": _moment(session, shot.at_s),
            "club_text": shot.club.text,
            "club": shot.club.kind,
            "club_speed_mps": shot.club_speed_mps,
            "ball_speed_mps": shot.ball_speed_mps,
            "ball_to_club_ratio": shot.ball_speed_mps / shot.club_speed_mps,
            "launch_deg": shot.launch_deg,
            "start_right_deg": shot.start_right_deg,
            "spin_rpm": shot.spin_rpm,
            "carry_m": shot.carry_m,
            "side_m": shot.carry_m * tan(radians(shot.start_right_deg)),
            "swing_length": shot.length,
        }
        for shot in session.shots
    ]


def _swings(session: Session) -> Rows:
    return [
        {
            "entry_id": _event(session, "swing", number),
            "device_number": number,
            "swung_at_utc": _moment(session, swing.at_s),
            "backswing_s": round(swing.backswing_s / 0.005) * 0.005,
            "downswing_s": round(swing.downswing_s / 0.005) * 0.005,
            "tempo_ratio": swing.backswing_s / swing.downswing_s,
            "peak_speed_mps": swing.peak_speed_mps,
            "swing_length_deg": swing.length_deg,
        }
        for number, swing in enumerate(session.swings, start=1)
    ]


def _marks(session: Session) -> Rows:
    return [
        {
            "ball_number": mark.ball,
            "marked_at_utc": _moment(session, mark.at_s),
            "land_past_edge_m": mark.land_past_edge_ft * FOOT_M,
            "land_side_m": mark.land_right_ft * FOOT_M,
            "leave_m": mark.leave_ft * FOOT_M,
            "leave_bearing_deg": mark.leave_bearing_deg,
            "method": "tape",
        }
        for mark in marks(session, SEED)
    ]


def _scores(one: Cast, week: int) -> Rows:
    start = started_utc(one, week).replace(microsecond=0) + timedelta(minutes=50)
    return [
        {
            "test": TEST,
            "attempt_id": f"{day_of(week):%Y-%m-%d}",
            "scored_at_utc": start + timedelta(seconds=90 * score.station),
            "station": score.station,
            "station_text": score.text,
            "strokes": score.strokes,
            "leave_m": score.leave_ft * FOOT_M,
        }
        for score in attempt(one, week, SEED)
    ]


def _conditions(one: Cast, week: int) -> dict[str, object]:
    place = conditions(one, week)
    return {
        "session_id": f"{one.player_id}:{day_of(week):%Y-%m-%d}",
        "day": day_of(week),
        "place": PLACE,
        "green_speed_ft": place.green_speed_ft,
        "slope_deg": SLOPE_DEG,
        "fall_line_deg": FALL_LINE_DEG,
        "wetness": place.wetness,
        "window_near_m": place.window_near_ft * FOOT_M,
        "window_far_m": place.window_far_ft * FOOT_M,
        "gate_width_m": GATE_WIDTH_IN * 0.0254,
        "gate_distance_m": place.gate_distance_ft * FOOT_M,
        "edge_m": place.edge_ft * FOOT_M,
        "hole_m": place.hole_ft * FOOT_M,
    }
