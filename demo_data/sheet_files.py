"""Text of the sensor's exports and of the coach's sheets: marks, scores, conditions, players."""

import json
from collections.abc import Sequence
from datetime import datetime, timedelta

from demo_data.cast import (
    COACH,
    FOOT_M,
    INCH_M,
    PLACE,
    PLAYERS,
    WEEKS,
    ZONE,
    Player,
    day_of,
)
from demo_data.clock import local_time
from demo_data.ground import FALL_LINE_DEG, GATE_WIDTH_IN, SLOPE_DEG, Mark, conditions
from demo_data.launch_files import Export
from demo_data.scored_tests import TEST, StationScore
from demo_data.session import Session

SENSOR_HEADER = (
    "Swing,Local time,Backswing (ms),Downswing (ms),Tempo ratio,Peak speed (km/h),"
    "Swing length (deg)"
)
MARKS_HEADER = (
    "Ball number,Local time,Landed past edge (ft),Landed side (ft),Leave (ft),"
    "Leave bearing (deg),Method"
)
SCORES_HEADER = "Test,Attempt,Local time,Station,Lie,Strokes,Leave (ft)"
KMH_MPS = 1 / 3.6
TICK_MS = 5
"""The sensor samples 200 times a second; its times are whole ticks."""


def sensor_export(session: Session, offset_s: float) -> Export:
    """Every swing the sensor saw, on its own clock, to a tenth of a second."""
    rows = []
    for number, swing in enumerate(session.swings, start=1):
        stamp = local_time(session.player, session.week, swing.at_s) + timedelta(seconds=offset_s)
        back_ms = round(swing.backswing_s * 1000 / TICK_MS) * TICK_MS
        down_ms = round(swing.downswing_s * 1000 / TICK_MS) * TICK_MS
        cells = (
            str(number),
            _tenths(stamp),
            str(back_ms),
            str(down_ms),
            f"{back_ms / down_ms:.2f}",
            f"{swing.peak_speed_mps / KMH_MPS:.1f}",
            f"{swing.length_deg:.0f}",
        )
        rows.append(",".join(cells))
    text = "\n".join([SENSOR_HEADER, *rows, ""])
    return Export(text, tuple(range(2, 2 + len(rows))))


def _tenths(stamp: datetime) -> str:
    return stamp.isoformat(sep=" ", timespec="milliseconds")[:-2]


def marks_sheet(session: Session, marks: Sequence[Mark]) -> Export:
    """The coach's tape sheet of one session."""
    rows = []
    for mark in marks:
        stamp = local_time(session.player, session.week, mark.at_s)
        cells = (
            str(mark.ball),
            stamp.strftime("%Y-%m-%d %H:%M:%S"),
            f"{mark.land_past_edge_ft:.1f}",
            f"{mark.land_right_ft:.1f}",
            f"{mark.leave_ft:.1f}",
            f"{mark.leave_bearing_deg % 360:.0f}".replace("360", "0"),
            "tape",
        )
        rows.append(",".join(cells))
    text = "\n".join([MARKS_HEADER, *rows, ""])
    return Export(text, tuple(range(2, 2 + len(rows))))


def scores_sheet(player: Player, attempts: Sequence[Sequence[StationScore]]) -> str:
    """All tests of one player, a line per station."""
    rows = [SCORES_HEADER]
    for week, stations in enumerate(attempts):
        for score in stations:
            stamp = local_time(player, week, 3000 + 90 * score.station)
            cells = (
                TEST,
                f"{day_of(week):%Y-%m-%d}",
                stamp.strftime("%Y-%m-%d %H:%M:%S"),
                str(score.station),
                f'"{score.text}"',
                str(score.strokes),
                f"{score.leave_ft:.1f}",
            )
            rows.append(",".join(cells))
    return "\n".join([*rows, ""])


def sessions_sheet(player: Player) -> str:
    """The conditions of the player's eight sessions, a JSON line each, as entered by hand."""
    rows = []
    for week in range(WEEKS):
        place = conditions(player, week)
        day = f"{day_of(week):%Y-%m-%d}"
        entry = {
            "session_id": f"{player.player_id}:{day}",
            "day": day,
            "place": PLACE,
            "green_speed_ft": place.green_speed_ft,
            "slope_deg": SLOPE_DEG,
            "fall_line_deg": FALL_LINE_DEG,
            "wetness": place.wetness,
            "window_near_m": round(place.window_near_ft * FOOT_M, 4),
            "window_far_m": round(place.window_far_ft * FOOT_M, 4),
            "gate_width_m": round(GATE_WIDTH_IN * INCH_M, 4),
            "gate_distance_m": round(place.gate_distance_ft * FOOT_M, 4),
            "edge_m": round(place.edge_ft * FOOT_M, 4),
            "hole_m": round(place.hole_ft * FOOT_M, 4),
        }
        rows.append(json.dumps(entry))
    return "\n".join([*rows, ""])


def players_file() -> str:
    """The players as TOML, one `[[player]]` each."""
    parts = [f'place = "{PLACE}"\ncoach = "{COACH}"\nzone = "{ZONE}"\n']
    parts += [
        f'[[player]]\nplayer_id = "{one.player_id}"\ndisplay_name = "{one.name}"\n'
        f'handedness = "{one.handedness}"\nage_band = "{one.age_band}"\n'
        f"guardian_consent = {str(one.guardian_consent).lower()}\n"
        f'zone = "{ZONE}"\ncoach = "{COACH}"\n'
        for one in PLAYERS
    ]
    return "\n".join(parts)
