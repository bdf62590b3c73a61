"""One practice session simulated: every swing and every ball, on true time, in SI units.

Rules
-----
1. A session opens with a ladder (club × swing length, one rehearsal before each ball), then come
   triples at the window: a rehearsal meant long, one meant short, the shot.
2. A swing has an intended carry; the curve turns it into a club speed; the player's own noise,
   the rehearsal bias and the strike's noise do the rest.
3. A mishit loses about 6 ft of carry; its ball speed drops with it.
"""

from dataclasses import dataclass
from math import exp, log, radians, sin, sqrt
from typing import Literal

import numpy as np

from demo_data.cast import (
    BALLS,
    CLUBS,
    EXPONENT,
    FOOT_M,
    GRAVITY_MPS2,
    LADDER,
    LADDER_BALLS,
    MAIN_CLUB,
    MAIN_LENGTH,
    REFERENCE_SPEED_MPS,
    VACUUM_SHARE,
    Club,
    Player,
    curve_level,
    randomness,
)

Role = Literal["strike", "rehearse_long", "rehearse_short", "rehearse", "other"]
LENGTH_DEG = {"hip": 62.0, "chest": 96.0}


@dataclass(frozen=True)
class Shot:
    """A struck ball; `at_s` counts from the session's start on true time."""

    ball: int
    at_s: float
    club: Club
    length: str
    triple: bool
    mishit: bool
    club_speed_mps: float
    ball_speed_mps: float
    launch_deg: float
    start_right_deg: float
    spin_rpm: float
    carry_m: float


@dataclass(frozen=True)
class Swing:
    """A swing the sensor saw; `ball` is the ball it struck or rehearsed, 0 for none."""

    at_s: float
    role: Role
    ball: int
    backswing_s: float
    downswing_s: float
    peak_speed_mps: float
    length_deg: float


@dataclass(frozen=True)
class Session:
    """Everything that happened, in order of time."""

    player: Player
    week: int
    shots: tuple[Shot, ...]
    swings: tuple[Swing, ...]


@dataclass(frozen=True)
class _Plan:
    ball: int
    club: Club
    length: str
    triple: bool
    carry_m: float


def speed_for(level: float, carry_m: float) -> float:
    """Club speed in m/s that carries `carry_m` on the curve of this level."""
    return float(REFERENCE_SPEED_MPS * (carry_m / exp(level)) ** (1 / EXPONENT))


def simulate(player: Player, week: int, seed: int, ladder_last: bool = False) -> Session:
    """The session of one player in one week (0 … 7); the same for the same arguments."""
    rng = randomness(seed, player, week, "session")
    day = float(rng.normal(0, player.day_sd)), float(rng.normal(0, 0.2))
    at_s = float(rng.uniform(20, 60))
    shots: list[Shot] = []
    swings: list[Swing] = []
    for plan in _plans(player, week, rng, ladder_last):
        shot, around, at_s = _one_ball(player, week, plan, at_s, rng)
        shots.append(_fly(player, plan, shot, day, rng))
        swings.extend(around)
    swings.extend(_waggles(player, at_s, rng))
    return Session(player, week, tuple(shots), tuple(sorted(swings, key=lambda one: one.at_s)))


def _plans(player: Player, week: int, rng: np.random.Generator, ladder_last: bool) -> list[_Plan]:
    cells = [LADDER[index % len(LADDER)] for index in range(LADDER_BALLS)]
    ladder = []
    for index in rng.permutation(LADDER_BALLS):
        kind, length, usual_mps = cells[index]
        level = curve_level(player, CLUBS[kind])
        carry_m = exp(level) * (usual_mps / REFERENCE_SPEED_MPS) ** EXPONENT
        ladder.append((CLUBS[kind], length, False, carry_m))
    meant_m = (player.target_ft + player.offset_ft[week]) * FOOT_M
    triples = [(CLUBS[MAIN_CLUB], MAIN_LENGTH, True, meant_m)] * (BALLS - LADDER_BALLS)
    order = triples + ladder if ladder_last else ladder + triples
    return [_Plan(ball, *rest) for ball, rest in enumerate(order, start=1)]


def _one_ball(
    player: Player, week: int, plan: _Plan, at_s: float, rng: np.random.Generator
) -> tuple[tuple[float, float], list[Swing], float]:
    """(time and true club speed of the strike), the swings around it, the end of the ball."""
    swings = []
    half_m = player.width_ft[week] / 2 * FOOT_M
    rehearsals: tuple[tuple[Role, float], ...] = (("rehearse", 0.0),)
    if plan.triple:
        rehearsals = (("rehearse_long", half_m), ("rehearse_short", -half_m))
    for role, aside_m in rehearsals:
        carry_m = plan.carry_m + aside_m + rng.normal(0, player.rehearsal_sd_ft * FOOT_M)
        if rng.random() > 0.02:
            swings.append(_swing(player, plan, (role, carry_m), at_s, rng))
        at_s += float(rng.uniform(6, 12))
    at_s += float(rng.uniform(3, 9))
    carry_m = plan.carry_m + rng.normal(0, _execution_m(player, week))
    speed_mps = speed_for(curve_level(player, plan.club), max(carry_m, 1.0))
    if rng.random() > 0.01:
        swings.append(_swing(player, plan, ("strike", carry_m), at_s, rng))
    return (at_s, speed_mps), swings, at_s + float(rng.uniform(20, 42))


def _execution_m(player: Player, week: int) -> float:
    """Spread of the intended carry that, with the strike's own, makes the landing spread."""
    strike_ft = player.residual_sd * player.target_ft
    return sqrt(player.landing_sd_ft[week] ** 2 - strike_ft**2) * FOOT_M


def _swing(
    player: Player, plan: _Plan, meant: tuple[Role, float], at_s: float, rng: np.random.Generator
) -> Swing:
    role, carry_m = meant
    speed_mps = speed_for(curve_level(player, plan.club), max(carry_m, 1.0))
    if role != "strike":
        speed_mps *= 1 + player.rehearsal_bias
    ratio = player.tempo_ratio - player.tempo_fall * (plan.ball - 1) / 44
    ratio += rng.normal(0, 0.1)
    downswing_s = max(0.2, rng.normal(0.33, 0.012))
    return Swing(
        at_s=at_s,
        role=role,
        ball=plan.ball,
        backswing_s=ratio * downswing_s,
        downswing_s=downswing_s,
        peak_speed_mps=player.sensor_scale * speed_mps * exp(rng.normal(0, 0.015)),
        length_deg=LENGTH_DEG[plan.length] + rng.normal(0, 4),
    )


def _fly(
    player: Player,
    plan: _Plan,
    strike: tuple[float, float],
    day: tuple[float, float],
    rng: np.random.Generator,
) -> Shot:
    (at_s, speed_mps), (day_carry, day_start_deg) = strike, day
    level = curve_level(player, plan.club)
    noise = rng.normal(0, player.residual_sd)
    carry_m = exp(level + EXPONENT * log(speed_mps / REFERENCE_SPEED_MPS) + day_carry + noise)
    mishit = bool(rng.random() < player.mishit_share)
    if mishit:
        carry_m = max(1.0, carry_m - rng.normal(6.0, 1.0) * FOOT_M)
    launch_deg = rng.normal(plan.club.launch_deg, 1.6)
    flown = VACUUM_SHARE * sin(2 * radians(launch_deg)) / GRAVITY_MPS2
    return Shot(
        ball=plan.ball,
        at_s=at_s,
        club=plan.club,
        length=plan.length,
        triple=plan.triple,
        mishit=mishit,
        club_speed_mps=speed_mps * exp(rng.normal(0, 0.007)),
        ball_speed_mps=sqrt(carry_m / flown) * exp(rng.normal(0, 0.006)),
        launch_deg=launch_deg,
        start_right_deg=player.start_right_deg + day_start_deg + rng.normal(0, 1.6),
        spin_rpm=rng.normal(plan.club.spin_rpm, 250),
        carry_m=carry_m,
    )


def _waggles(player: Player, end_s: float, rng: np.random.Generator) -> list[Swing]:
    """Small movements that no ball follows from."""
    return [
        Swing(
            at_s=float(rng.uniform(10, end_s)),
            role="other",
            ball=0,
            backswing_s=float(rng.uniform(0.2, 0.5)),
            downswing_s=float(rng.uniform(0.15, 0.4)),
            peak_speed_mps=float(rng.uniform(1.2, 3.0)) * player.sensor_scale,
            length_deg=float(rng.uniform(15, 40)),
        )
        for _ in range(int(rng.integers(3, 8)))
    ]
