"""An invented player with a few weeks of chips, for tests that need a whole book.

Robin chips with three clubs at two swing lengths on four days; the truth of each club is known.
Balls that run about as far as the hole are marked by hand; of the others the device saw the run.
"""

import math
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np

from ingest.hand_entry import enter
from ingest.players import Player, save_player

ROBIN = Player("robin1", "Robin", zone="Europe/Madrid", coach="Mora")
DAYS = tuple(date(2026, 4, 6) + timedelta(days=7 * week) for week in range(4))
GREENS = (9.0, 10.0, 9.5, 10.0)
RATIO = {"SW": 0.9, "PW": 1.8, "9I": 2.8}
LEVEL = {"SW": 8.6, "PW": 11.0, "9I": 12.4}
LENGTHS = {"hip": 7.0, "chest": 9.0}
SHOT_SD, SPEED_SD, RUN_SD, START_SD = 0.06, 0.03, 0.2, 1.8
EDGE_M, HOLE_M = 3.0, 13.0


def carry_of(club: str, speed_mps: float) -> float:
    """The middle carry of Robin's clean strikes, metres."""
    return LEVEL[club] * (speed_mps / 10) ** 1.95


def shots_and_marks(per_cell: int = 6, seed: int = 5) -> tuple[list[dict], list[dict]]:
    """Rows of `shots` and of `marks` for all days."""
    rng = np.random.default_rng(seed)
    shots, marks = [], []
    for day, green_ft in zip(DAYS, GREENS, strict=True):
        start = datetime(day.year, day.month, day.day, 9, tzinfo=UTC)
        day_off, number = rng.normal(0, 0.03), 0
        for _ in range(per_cell):
            for club, ratio in RATIO.items():
                for length, usual in LENGTHS.items():
                    number += 1
                    at = start + timedelta(seconds=40 * number)
                    shot = _shot(rng, club, (length, usual), number, at, day_off)
                    spread = math.exp(rng.normal(0, RUN_SD))
                    run = shot["carry_m"] * ratio * spread * green_ft / 10
                    shots.append(shot)
                    if abs(carry_of(club, usual) * (1 + ratio) - HOLE_M) < 3:
                        marks.append(_mark(shot, run))
                    else:
                        shot["roll_m"] = run
    return shots, marks


def _shot(rng, club, swing, number, at, day_off) -> dict:
    length, usual = swing
    speed = usual * math.exp(rng.normal(0, SPEED_SD))
    carry = carry_of(club, speed) * math.exp(day_off + rng.normal(0, SHOT_SD))
    return {
        "device_number": number,
        "struck_at_utc": at,
        "club": club,
        "club_text": club,
        "swing_length": length,
        "club_speed_mps": speed,
        "ball_speed_mps": speed * 1.1,
        "launch_deg": 32.0,
        "start_right_deg": rng.normal(-1.0, START_SD),
        "carry_m": carry,
    }


def _mark(shot, run) -> dict:
    turn = math.radians(shot["start_right_deg"])
    past, right = (
        (shot["carry_m"] + run) * math.cos(turn) - HOLE_M,
        (shot["carry_m"] + run) * math.sin(turn),
    )
    return {
        "ball_number": shot["device_number"],
        "marked_at_utc": shot["struck_at_utc"] + timedelta(seconds=20),
        "land_past_edge_m": shot["carry_m"] * math.cos(turn) - EDGE_M,
        "leave_m": min(math.hypot(past, right), 59.0),
        "leave_bearing_deg": math.degrees(math.atan2(right, past)) % 360,
        "leave_error_m": 0.05,
        "method": "tape",
    }


def write_book(store: Path, per_cell: int = 6) -> Player:
    """Robin's book: player, conditions, shots and marks."""
    save_player(store, ROBIN)
    shots, marks = shots_and_marks(per_cell)
    sessions = [
        {
            "session_id": f"robin1:{day}",
            "day": day,
            "green_speed_ft": green,
            "edge_m": EDGE_M,
            "hole_m": HOLE_M,
            "slope_deg": 0.0,
            "fall_line_deg": 0.0,
            "wetness": "dry",
            "place": "Pradera",
        }
        for day, green in zip(DAYS, GREENS, strict=True)
    ]
    enter(store, ROBIN.player_id, "sessions", sessions)
    enter(store, ROBIN.player_id, "shots", shots)
    enter(store, ROBIN.player_id, "marks", marks)
    return ROBIN
