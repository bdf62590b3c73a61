"""The demo's sessions as tables in memory, pairs as they truly are: no import, no pairing."""

from datetime import date, timedelta
from math import radians, tan

import pyarrow as pa

from analytics.db import Connection, in_memory
from demo_data.cast import FOOT_M, WEEKS, Player, day_of
from demo_data.clock import started_utc
from demo_data.ground import GATE_WIDTH_IN, conditions, marks
from demo_data.session import Session, simulate
from schemas.tables import arrow_schema

INCH_M = 0.0254


def table(name: str, rows: list[dict[str, object]]) -> pa.Table:
    """Rows as a table of the store, with the player's id beside its columns."""
    schema = arrow_schema(name)
    if "player_id" not in schema.names:
        schema = schema.append(pa.field("player_id", pa.string()))
    schema = pa.schema([field.with_nullable(True) for field in schema])
    return pa.Table.from_pylist([dict.fromkeys(schema.names) | row for row in rows], schema=schema)


def demo_connection(
    player: Player, seed: int, weeks: int = WEEKS, with_window: bool = True
) -> Connection:
    """Views over one player's first sessions."""
    sessions = [simulate(player, week, seed) for week in range(weeks)]
    tables = {
        "players": pa.Table.from_pylist(
            [{"player_id": player.player_id, "handedness": player.handedness, "zone": "UTC"}],
            schema=pa.schema([f.with_nullable(True) for f in arrow_schema("players")]),
        ),
        "shots": table("shots", [row for s in sessions for row in _shots(s)]),
        "swings": table("swings", [row for s in sessions for row in _swings(s)]),
        "pairs": table("pairs", [row for s in sessions for row in _pairs(s)]),
        "marks": table("marks", [row for s in sessions for row in _marks(s, seed)]),
    }
    if with_window:
        tables["sessions"] = table("sessions", [_conditions(s) for s in sessions])
    return in_memory(tables)


def session_id(player: Player, day: date) -> str:
    return f"{player.player_id}:{day:%Y-%m-%d}"


def _row(session: Session, kind: str, number: int) -> dict[str, object]:
    return {
        "player_id": session.player.player_id,
        "event_id": f"{kind}{session.week}-{number}",
        "content_id": "c",
        "import_id": f"{kind}-{session.week}",
        "source_line": number + 2,
        "occurrence": 0,
    }


def _shots(session: Session) -> list[dict[str, object]]:
    start = started_utc(session.player, session.week)
    return [
        _row(session, "shot", shot.ball)
        | {
            "device_number": shot.ball,
            "struck_at_utc": start + timedelta(seconds=shot.at_s),
            "club": shot.club.kind,
            "swing_length": shot.length,
            "club_speed_mps": shot.club_speed_mps,
            "ball_speed_mps": shot.ball_speed_mps,
            "ball_to_club_ratio": shot.ball_speed_mps / shot.club_speed_mps,
            "start_right_deg": shot.start_right_deg,
            "carry_m": shot.carry_m,
            "side_m": shot.carry_m * tan(radians(shot.start_right_deg)),
        }
        for shot in session.shots
    ]


def _swings(session: Session) -> list[dict[str, object]]:
    start = started_utc(session.player, session.week)
    return [
        _row(session, "swing", number)
        | {
            "swung_at_utc": start + timedelta(seconds=swing.at_s),
            "backswing_s": round(swing.backswing_s, 2),
            "downswing_s": round(swing.downswing_s, 2),
            "peak_speed_mps": swing.peak_speed_mps,
            "swing_length_deg": swing.length_deg,
        }
        for number, swing in enumerate(session.swings)
    ]


def _pairs(session: Session) -> list[dict[str, object]]:
    day = day_of(session.week)
    return [
        {
            "player_id": session.player.player_id,
            "session_id": session_id(session.player, day),
            "shot_event_id": f"shot{session.week}-{swing.ball}" if swing.ball else None,
            "swing_event_id": f"swing{session.week}-{number}",
            "role": swing.role,
            "probability": 0.99,
            "fit_version": "1",
        }
        for number, swing in enumerate(session.swings)
    ]


def _marks(session: Session, seed: int) -> list[dict[str, object]]:
    start = started_utc(session.player, session.week)
    return [
        _row(session, "mark", mark.ball)
        | {
            "ball_number": mark.ball,
            "marked_at_utc": start + timedelta(seconds=mark.at_s),
            "land_past_edge_m": mark.land_past_edge_ft * FOOT_M,
            "land_side_m": mark.land_right_ft * FOOT_M,
            "leave_m": mark.leave_ft * FOOT_M,
            "leave_bearing_deg": mark.leave_bearing_deg,
        }
        for mark in marks(session, seed)
    ]


def _conditions(session: Session) -> dict[str, object]:
    place = conditions(session.player, session.week)
    day = day_of(session.week)
    return _row(session, "conditions", 0) | {
        "session_id": session_id(session.player, day),
        "day": day,
        "wetness": place.wetness,
        "window_near_m": place.window_near_ft * FOOT_M,
        "window_far_m": place.window_far_ft * FOOT_M,
        "gate_width_m": GATE_WIDTH_IN * INCH_M,
        "gate_distance_m": place.gate_distance_ft * FOOT_M,
        "edge_m": place.edge_ft * FOOT_M,
        "hole_m": place.hole_ft * FOOT_M,
        "fall_line_deg": 160.0,
    }
