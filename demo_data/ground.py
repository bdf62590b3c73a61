"""The green: what a session's conditions are, and where a ball lands and finishes on it."""

from dataclasses import dataclass
from math import atan2, degrees, hypot, radians, sin, tan

import numpy as np

from demo_data.cast import FOOT_M, WET_WEEK, Player, randomness
from demo_data.session import Session, Shot

SLOPE_DEG = 1.4
FALL_LINE_DEG = 160.0
"""Downhill runs back towards the player and a little right."""
WINDOW_HALF_FT = 2.5
EDGE_BEFORE_TARGET_FT = 6.0
GATE_WIDTH_IN = 27.0
GREEN_SPEEDS_FT = (9.5, 9.6, 9.4, 8.0, 9.5, 9.8, 9.6, 9.5)
WET_RUN_SHARE = 0.72
MARK_SD_FT = 0.25


@dataclass(frozen=True)
class Conditions:
    """What the coach notes before play; distances in feet from the ball."""

    green_speed_ft: float
    wetness: str
    edge_ft: float
    hole_ft: float
    window_near_ft: float
    window_far_ft: float
    gate_distance_ft: float


@dataclass(frozen=True)
class Mark:
    """Where one ball landed and finished, as measured with a tape."""

    ball: int
    at_s: float
    land_past_edge_ft: float
    land_right_ft: float
    leave_ft: float
    leave_bearing_deg: float


def conditions(player: Player, week: int) -> Conditions:
    """The conditions of a week; the fourth week is wet and slow."""
    edge_ft = player.target_ft - EDGE_BEFORE_TARGET_FT
    return Conditions(
        green_speed_ft=GREEN_SPEEDS_FT[week],
        wetness="wet" if week == WET_WEEK else "dry",
        edge_ft=edge_ft,
        hole_ft=round(player.target_ft * 1.72, 0),
        window_near_ft=player.target_ft - WINDOW_HALF_FT,
        window_far_ft=player.target_ft + WINDOW_HALF_FT,
        gate_distance_ft=edge_ft + 3.0,
    )


def marks(session: Session, seed: int) -> tuple[Mark, ...]:
    """The marks of a session's triples, in order of ball."""
    rng = randomness(seed, session.player, session.week, "marks")
    place = conditions(session.player, session.week)
    return tuple(_mark(shot, place, rng) for shot in session.shots if shot.triple)


def _mark(shot: Shot, place: Conditions, rng: np.random.Generator) -> Mark:
    carry_ft = shot.carry_m / FOOT_M
    run_ft = carry_ft * shot.club.run_ratio * float(np.exp(rng.normal(0, 0.07)))
    run_ft *= WET_RUN_SHARE if place.wetness == "wet" else place.green_speed_ft / 9.5
    land_right_ft = carry_ft * tan(radians(shot.start_right_deg))
    total_ft = carry_ft + run_ft
    pulled_ft = 0.012 * run_ft * sin(radians(FALL_LINE_DEG)) * run_ft / 10
    finish_right_ft = total_ft * tan(radians(shot.start_right_deg)) + pulled_ft
    past_ft = total_ft - place.hole_ft
    bearing_deg = degrees(atan2(finish_right_ft, past_ft)) - FALL_LINE_DEG
    return Mark(
        ball=shot.ball,
        at_s=shot.at_s + 14.0,
        land_past_edge_ft=carry_ft - place.edge_ft + rng.normal(0, MARK_SD_FT),
        land_right_ft=land_right_ft + rng.normal(0, MARK_SD_FT),
        leave_ft=hypot(past_ft, finish_right_ft),
        leave_bearing_deg=bearing_deg % 360,
    )
