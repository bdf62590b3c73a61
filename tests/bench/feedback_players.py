"""Simulated players for the feedback figures: practice with or without planted effects.

What is assumed of a player without effect: a fifth of the landing variance lies between days,
tempo of neighbouring swings hangs together (lag-one correlation 0.3), 5 % mishits, and a sensor
whose reading scatters by 1.5 %. Spreads are ours, taken from no published player.
"""

from dataclasses import dataclass, replace

import numpy as np

from analytics.bracket import Triples
from analytics.practice import Practice, WindowShots
from analytics.tempo import Tempo

FOOT = 0.3048
EXPONENT = 1.95


@dataclass(frozen=True)
class Plant:
    """What is planted; the default is nothing at all. Feet, ratios, shares, degrees."""

    sessions: int = 8
    balls: int = 36
    target_ft: float = 24.0
    window_half_ft: float = 2.5
    width_ft: tuple[float, float] = (10.57, 10.57)
    spread_ft: tuple[float, float] = (2.6, 2.6)
    centre_ft: float = 0.0
    rehearsal_sd_ft: float = 1.2
    rehearsal_speed_bias: float = 0.0
    tempo_ratio: float = 2.6
    tempo_fall: float = 0.0
    push_deg: float = 0.0
    day_share: float = 0.2
    sensor_sd: float = 0.015
    mishit_share: float = 0.05


@dataclass(frozen=True)
class Simulated:
    """A practice and the truth of its rehearsals: what they would have carried, in metres."""

    practice: Practice
    true_long_m: np.ndarray
    true_short_m: np.ndarray
    between: np.ndarray


def simulate(rng: np.random.Generator, plant: Plant = Plant()) -> Simulated:
    """One player's sessions. Rehearsal readings go through a curve with an error of its own."""
    k, n = plant.sessions, plant.balls
    session = np.repeat(np.arange(k), n)
    ball = np.tile(np.arange(1.0, n + 1), k)
    part = session / max(k - 1, 1)
    width = (plant.width_ft[0] + part * (plant.width_ft[1] - plant.width_ft[0])) * FOOT
    spread = (plant.spread_ft[0] + part * (plant.spread_ft[1] - plant.spread_ft[0])) * FOOT
    target = plant.target_ft * FOOT
    day = rng.normal(0, 1, k)[session] * np.sqrt(plant.day_share)
    within = rng.normal(0, 1, session.size) * np.sqrt(1 - plant.day_share)
    centre = plant.centre_ft * FOOT
    carry = target + centre + spread * (day + within)
    mishit = rng.random(session.size) < plant.mishit_share
    carry = np.where(mishit, np.maximum(carry - 6 * FOOT, 0.5), carry)
    long_m, short_m = _rehearsals(rng, plant, width, target + centre)
    triples = _read(rng, plant, session, (long_m, short_m, carry, mishit))
    tempo, struck_ln = _tempo(rng, plant, session, ball)
    half = plant.window_half_ft * FOOT
    start = plant.push_deg + rng.normal(0, 0.3, k)[session] + rng.normal(0, 1.6, session.size)
    given = np.ones(carry.size, bool)
    near, far = np.full(carry.size, target - half), np.full(carry.size, target + half)
    shots = WindowShots(session, ball, carry, near, far, start, struck_ln, mishit, given)
    practice = Practice("right", shots, tempo, triples, np.arange(k) * 7.0, EXPONENT)
    between = (short_m < carry) & (carry < long_m)
    return Simulated(practice, long_m, short_m, between)


def _rehearsals(rng, plant: Plant, width, target) -> tuple[np.ndarray, np.ndarray]:
    sd = plant.rehearsal_sd_ft * FOOT
    long_m = target + width / 2 + rng.normal(0, sd, width.size)
    short_m = target - width / 2 + rng.normal(0, sd, width.size)
    return long_m, np.maximum(short_m, 0.5)


def _read(rng, plant: Plant, session, swings) -> Triples:
    """What the sensor makes of the swings: own scatter, one calibration error, rehearsal bias."""
    long_m, short_m, carry, mishit = swings
    own, shared = EXPONENT * plant.sensor_sd, 0.02
    calibration = rng.normal(0, shared)
    bias = EXPONENT * np.log1p(plant.rehearsal_speed_bias)

    def reading(truth: np.ndarray) -> np.ndarray:
        return np.log(truth) + calibration + rng.normal(0, own, truth.size)

    half = plant.window_half_ft * FOOT
    target = plant.target_ft * FOOT
    meant = np.where(mishit, carry + 6 * FOOT, carry)
    return Triples(
        session, reading(long_m) + bias, reading(short_m) + bias, reading(meant),
        np.where(mishit, np.nan, carry),
        np.full(carry.size, target - half), np.full(carry.size, target + half),
        np.full(carry.size, own), np.full(carry.size, shared), np.full(carry.size, own),
    )  # fmt: skip


def _tempo(rng, plant: Plant, session, ball) -> tuple[Tempo, np.ndarray]:
    """Strikes and two rehearsals per ball, on a sensor of 100 Hz."""
    k = plant.sessions
    day = rng.normal(0, 0.06, k)[session]
    slope = rng.normal(0, 0.05, k)[session] * (ball - 1) / 44
    centre = plant.tempo_ratio - plant.tempo_fall * (ball - 1) / 44 + day + slope
    noise = _hanging_together(rng, session.size, 0.12)
    rows = [centre + noise] + [centre + rng.normal(0, 0.12, session.size) for _ in range(2)]
    down = rng.normal(0.33, 0.012, 3 * session.size)
    back = np.concatenate(rows) * down
    back, down = np.round(back, 2), np.round(down, 2)
    rehearsal = np.arange(3 * session.size) >= session.size
    tempo = Tempo(np.tile(session, 3), np.tile(ball, 3), back, down, rehearsal)
    return tempo, tempo.ln_ratio[: session.size]


def _hanging_together(rng, n: int, sd: float, rho: float = 0.3) -> np.ndarray:
    shocks = rng.normal(0, sd * np.sqrt(1 - rho**2), n)
    out = np.empty(n)
    out[0] = rng.normal(0, sd)
    for i in range(1, n):
        out[i] = rho * out[i - 1] + shocks[i]
    return out


def without(plant: Plant, **changes: object) -> Plant:
    """The plant with some of it changed."""
    return replace(plant, **changes)
