"""Who plays in the demo, what is true about each, and when they met.

Everything here is invented: the green at Marram Hollow, coach Maren Ostrava and her five
players. One number set per player is the truth that the exports are drawn from.
"""

from dataclasses import dataclass
from datetime import date, time, timedelta
from math import log, radians, sin

import numpy as np

FOOT_M = 0.3048
INCH_M = 0.0254
YARD_M = 0.9144
MPH_MPS = 0.44704
GRAVITY_MPS2 = 9.80665

PLACE = "Marram Hollow, lower green"
COACH = "Maren Ostrava"
ZONE = "Europe/Berlin"
SEED = 343
"""Chosen among some hundreds so that chance does not blur the story: with another seed an effect
that is planted may only lean, which is no fault."""
WEEKS = 8
FIRST_DAY = date(2025, 9, 24)
WET_WEEK = 3
BALLS = 48
LADDER_BALLS = 12
REFERENCE_SPEED_MPS = 8.0
EXPONENT = 1.95
VACUUM_SHARE = 0.96


@dataclass(frozen=True)
class Club:
    """How a club launches: ball speed ÷ club speed, launch angle, spin, run ÷ carry when dry."""

    kind: str
    text: str
    ball_to_club: float
    launch_deg: float
    spin_rpm: float
    run_ratio: float


CLUBS = {
    club.kind: club
    for club in (
        Club("SW", "Sand wedge", 1.04, 32.0, 3400.0, 0.85),
        Club("PW", "Pitching wedge", 1.14, 27.0, 2800.0, 1.45),
        Club("9I", "9 iron", 1.22, 22.0, 2200.0, 2.2),
    )
}
MAIN_CLUB = "SW"
MAIN_LENGTH = "hip"
LADDER = (("PW", "hip", 7.6), ("PW", "chest", 9.6), ("SW", "chest", 11.0), ("9I", "hip", 7.2))
"""Cells of the ladder that opens each session: club, swing length, usual club speed in m/s."""


@dataclass(frozen=True)
class Player:
    """One player and the truth about the player; lists run over the eight weeks."""

    player_id: str
    name: str
    handedness: str
    age_band: str
    guardian_consent: bool
    device: str
    start: time
    strength: float
    """Carry at a given club speed, relative to the plain curve of the club."""
    target_ft: float
    width_ft: tuple[float, ...]
    landing_sd_ft: tuple[float, ...]
    offset_ft: tuple[float, ...]
    """Where the shots are meant to land, relative to the target."""
    start_right_deg: float
    tempo_ratio: float
    tempo_fall: float
    """By how much the tempo ratio has fallen at ball 45."""
    rehearsal_bias: float
    """A rehearsal runs this much faster than a strike of the same intent."""
    sensor_scale: float
    test_totals: tuple[int, ...]
    residual_sd: float = 0.06
    day_sd: float = 0.012
    rehearsal_sd_ft: float = 1.2
    mishit_share: float = 0.05
    story: str = ""
    nulls: tuple[str, ...] = ()
    """Measures about which nothing is planted: calling a change in one of them is a mistake."""


def steady(value: float) -> tuple[float, ...]:
    """The same value every week."""
    return (value,) * WEEKS


def ramp(first: float, last: float) -> tuple[float, ...]:
    """A straight change from the first week to the last."""
    step = (last - first) / (WEEKS - 1)
    return tuple(first + step * week for week in range(WEEKS))


def day_of(week: int) -> date:
    """The local day of a weekly session, 0 being the first."""
    return FIRST_DAY + timedelta(weeks=week)


ALL_CHANGES = ("bracket_width", "landing_spread", "centre", "start_direction", "test_score")

PLAYERS = (
    Player(
        "q3fk82", "Tobias", "right", "adult", False, "field", time(9, 0), 1.0, 24.0,
        ramp(14.0, 8.0), ramp(3.0, 2.3), steady(0.0), -0.6, 2.9, 0.0, 0.04, 0.93,
        (25, 23, 26, 24, 25, 22, 25, 24),
        story="brackets too wide: width 14 to 8 ft is clear, landing spread 3.0 to 2.3 ft leans",
        nulls=("centre", "start_direction", "test_score", "tempo_drift"),
    ),
    Player(
        "h7wd41", "Wilma", "right", "adult", False, "box", time(11, 15), 1.03, 22.0,
        steady(10.0), steady(2.6), steady(0.0), -0.4, 2.2, 0.3, 0.03, 0.97,
        (23, 25, 24, 22, 25, 24, 23, 24),
        story="tempo ratio 2.2 falls by 0.3 by ball 45: practise in sets of 15",
        nulls=ALL_CHANGES,
    ),
    Player(
        "t9bx26", "Arne", "left", "adult", False, "field", time(10, 0), 1.12, 30.0,
        steady(10.0), steady(2.7), steady(0.0), 2.0, 3.1, 0.0, 0.05, 0.9,
        (22, 24, 21, 23, 24, 22, 23, 22),
        story="left-hander who pulls 2 degrees: a group average hides it until it is mirrored",
        nulls=(*ALL_CHANGES, "tempo_drift"),
    ),
    Player(
        "c5zn73", "Lio", "right", "junior", True, "box", time(15, 30), 0.909, 22.0,
        steady(11.0), steady(2.9), (-2.0, -2.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0), -0.6, 2.6, 0.0,
        0.04, 1.02, (29, 28, 30, 28, 29, 27, 29, 28),
        story="junior sent 2 ft short by an adult's curve, right after two days on an own one",
        nulls=("bracket_width", "landing_spread", "start_direction", "test_score", "tempo_drift"),
    ),
    Player(
        "v2mj58", "Petra", "right", "adult", False, "box", time(13, 30), 1.0, 22.0,
        steady(9.0), steady(2.4), steady(0.0), -0.4, 3.0, 0.0, 0.04, 0.95,
        (24, 25, 23, 25, 24, 23, 24, 21),
        story="control: nothing changes, although the last test is 3 better",
        nulls=(*ALL_CHANGES, "tempo_drift"),
    ),
)  # fmt: skip


def player(name: str) -> Player:
    """The player of this name. Raises KeyError when there is none."""
    return {one.name: one for one in PLAYERS}[name]


def curve_level(one: Player, club: Club) -> float:
    """Natural logarithm of the carry in metres at the reference club speed.

    From the vacuum range v²·sin 2θ/g (textbook), a share of it flown, times the player's strength.
    """
    ball_mps = REFERENCE_SPEED_MPS * club.ball_to_club
    vacuum_m = ball_mps**2 * sin(2 * radians(club.launch_deg)) / GRAVITY_MPS2
    return log(one.strength * VACUUM_SHARE * vacuum_m)


def randomness(seed: int, one: Player, week: int, purpose: str) -> np.random.Generator:
    """A stream of its own for each player, week and purpose."""
    key = [int.from_bytes(text.encode()) for text in (one.player_id, purpose)]
    return np.random.default_rng([seed, week, *key])
