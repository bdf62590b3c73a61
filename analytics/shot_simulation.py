"""Many plays of one chip: where it lands, runs and stops, drawn from the player's own spread.

Rules
-----
1. Carry is log-normal around the target, with the day and the doubt of the curve shared by the
   balls of one group of draws and the shot's own spread drawn anew; a share of balls are mishits.
2. The run starts where the ball lands. Its length on the green where the ratio was learnt becomes
   an equivalent rolling start, which then rolls on this green, slope and fall line included.
3. A ball whose path crosses the hole slowly enough is holed (`analytics.hole`).
4. A ball that lands short of the green's edge stays there: one more chip, then the putts that the
   balls on the green need on average. Beyond the hole the green is taken to go on.
5. Expected putts know the distance only. That an uphill putt is easier is what the leave zone says.
"""

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.stats import norm, qmc

from analytics.hole import capture_speed_mps
from analytics.leave import zones
from analytics.putting import PuttCosts
from analytics.roll import Green, equivalent_speed_mps, roll_path

Array = NDArray[np.float64]

PATH_POINTS = 13
FARTHEST_MARK_M = 60.0
STEEPEST_MISHIT = 2.5


@dataclass(frozen=True)
class Situation:
    """The chip to play, in metres along the line of play: green's edge, hole, and the green.

    `carry_factor` and `carry_doubt` are a stated adjustment (uneven lie, wind): a factor on carry
    and the standard deviation of its logarithm.
    """

    edge_m: float
    hole_m: float
    green: Green
    carry_factor: float = 1.0
    carry_doubt: float = 0.0


@dataclass(frozen=True)
class PlanClub:
    """What the planner needs to know of one club in this player's hands.

    Spreads of carry and of the run-to-carry ratio are standard deviations of logarithms: `shot`
    from ball to ball, `common` from day to day together with what is not known yet.
    `spread_doubt` is how well the spreads themselves are known, as the SD of their logarithm.
    `mishit_log_mean` and `mishit_log_sd` place the mishits against the middle of clean balls.
    """

    club: str
    carry_low_m: float
    carry_high_m: float
    carry_shot_sd: float
    carry_common_sd: float
    run_ratio: float
    run_shot_sd: float
    run_common_sd: float
    run_seen_on: Green
    start_sd_deg: float
    start_bias_deg: float = 0.0
    spread_doubt: float = 0.0
    mishit_share: float = 0.0
    mishit_log_mean: float = 0.0
    mishit_log_sd: float = 0.0
    n_shots: int = 0
    n_sessions: int = 0
    too_early: str = ""


class Choice(NamedTuple):
    """What the player aims at: carry in metres, start line in degrees to the right of the hole."""

    carry_m: float
    aim_deg: float


@dataclass(frozen=True)
class Draws:
    """Random numbers of `groups` days with `size` balls each; flat arrays of groups·size."""

    groups: int
    size: int
    carry_shot: Array
    carry_common: Array
    run_shot: Array
    run_common: Array
    spread: Array
    start: Array
    mishit: Array
    mishit_place: Array


@dataclass(frozen=True)
class Plays:
    """One finish per draw: metres along and right of the line, strokes to hole out, and flags."""

    land_along_m: Array
    land_right_m: Array
    rest_along_m: Array
    rest_right_m: Array
    leave_m: Array
    bearing_deg: Array
    on_green: NDArray[np.bool_]
    holed: NDArray[np.bool_]
    in_zone: NDArray[np.bool_]
    strokes: Array


def draws(groups: int, size: int, seed: int) -> Draws:
    """Evenly spread (scrambled Sobol) random numbers; the same seed gives the same plays."""
    rng = np.random.default_rng(seed)
    inner = _even(5, size, rng)
    outer = np.repeat(_even(3, groups, rng), size, axis=0)
    # Each group sees the same balls in another rotation: even within and across groups.
    turned = (np.tile(inner, (groups, 1)) + np.repeat(rng.random((groups, 5)), size, axis=0)) % 1.0
    z = norm.ppf(np.clip(turned, 1e-9, 1 - 1e-9))
    days = norm.ppf(np.clip(outer, 1e-9, 1 - 1e-9))
    return Draws(
        groups=groups,
        size=size,
        carry_shot=z[:, 0],
        carry_common=days[:, 0],
        run_shot=z[:, 1],
        run_common=days[:, 1],
        spread=days[:, 2],
        start=z[:, 2],
        mishit=turned[:, 3],
        mishit_place=z[:, 4],
    )


def play(spot: Situation, club: PlanClub, choice: Choice, by: Draws, costs: PuttCosts) -> Plays:
    """All plays of one choice. Raises: OutOfRange when a ball does not stop on this green."""
    carry = _carry(spot, club, choice.carry_m, by)
    start_sd = club.start_sd_deg * _wider(club, by)
    heading = choice.aim_deg + club.start_bias_deg + start_sd * by.start
    land_along = carry * np.cos(np.radians(heading))
    land_right = carry * np.sin(np.radians(heading))
    on_green = land_along >= spot.edge_m
    start = _run_speed(club, carry, by)
    along, right, speed = roll_path(start, heading, spot.green, PATH_POINTS)
    along, right = along + land_along[:, None], right + land_right[:, None]
    holed = on_green & _drops(along - spot.hole_m, right, speed)
    rest_along = np.where(on_green, along[:, -1], land_along)
    rest_right = np.where(on_green, right[:, -1], land_right)
    leave, bearing = _leave(spot, rest_along, rest_right, holed)
    return Plays(
        land_along,
        land_right,
        rest_along,
        rest_right,
        leave,
        bearing,
        on_green,
        holed,
        zones(leave, bearing).leave_zone & on_green,
        _strokes(leave, on_green, costs),
    )


def _even(dimensions: int, n: int, rng: np.random.Generator) -> Array:
    """n evenly spread points; Sobol needs a power of two, so the next larger set is cut."""
    power = max(1, math.ceil(math.log2(n)))
    points = qmc.Sobol(dimensions, scramble=True, rng=rng).random_base2(power)
    return np.asarray(points[:n], dtype=np.float64)


def _carry(spot: Situation, club: PlanClub, carry_m: float, by: Draws) -> Array:
    common = math.hypot(club.carry_common_sd, spot.carry_doubt) * by.carry_common
    clean = club.carry_shot_sd * _wider(club, by) * by.carry_shot
    mishit = club.mishit_log_mean + club.mishit_log_sd * by.mishit_place
    off = np.where(by.mishit < club.mishit_share, mishit, clean)
    off = np.clip(common + off, -STEEPEST_MISHIT, STEEPEST_MISHIT)
    return np.asarray(carry_m * spot.carry_factor * np.exp(off))


def _wider(club: PlanClub, by: Draws) -> Array:
    """Factor on the spreads of one group of draws: they are only known so well."""
    return np.asarray(np.exp(club.spread_doubt * by.spread))


def _run_speed(club: PlanClub, carry: Array, by: Draws) -> Array:
    shot = club.run_shot_sd * _wider(club, by) * by.run_shot
    ratio = club.run_ratio * np.exp(shot + club.run_common_sd * by.run_common)
    return equivalent_speed_mps(ratio * carry, club.run_seen_on)


def _drops(past: Array, right: Array, speed: Array) -> NDArray[np.bool_]:
    """Whether a path, given as points around the hole, crosses it slowly enough; shape (n,)."""
    step_past, step_right = np.diff(past, axis=1), np.diff(right, axis=1)
    length2 = np.maximum(step_past**2 + step_right**2, 1e-12)
    nearest = -(past[:, :-1] * step_past + right[:, :-1] * step_right) / length2
    nearest = np.clip(nearest, 0.0, 1.0)
    miss = np.hypot(past[:, :-1] + nearest * step_past, right[:, :-1] + nearest * step_right)
    then = speed[:, :-1] + nearest * np.diff(speed, axis=1)
    return np.asarray((then < capture_speed_mps(miss)).any(axis=1))


def _leave(
    spot: Situation, along: Array, right: Array, holed: NDArray[np.bool_]
) -> tuple[Array, Array]:
    past = along - spot.hole_m
    leave = np.where(holed, 0.0, np.minimum(np.hypot(past, right), FARTHEST_MARK_M))
    bearing = (np.degrees(np.arctan2(right, past)) - spot.green.fall_deg) % 360
    return leave, bearing


def _strokes(leave: Array, on_green: NDArray[np.bool_], costs: PuttCosts) -> Array:
    putts = costs.expected(leave)
    after_second_chip = float(putts[on_green].mean()) if on_green.any() else float(putts.mean())
    return np.where(on_green, 1 + putts, 2 + after_second_chip)
