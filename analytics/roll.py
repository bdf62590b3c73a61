"""How far a ball rolls on a green of known speed and slope, and what one green tells of another.

Rules
-----
1. The green slows the ball by a constant deceleration taken from the stimpmeter reading.
2. Slope acts on a ROLLING sphere: 5/7 of gravity's pull along the green. The ball therefore stays
   at rest up to sin β = a / (5/7 g): 3.21° on a stimp of 14. Published tables disagree here: one
   gives 4° at stimp 13 and "close to 3°" at 14 (Weber 1997), another 2.4° at 14, which is a
   SLIDING block (no 5/7). We use the rolling sphere because the same model then reproduces the
   up-and-down averaging of Brede exactly.
3. The run of a chip, bounces included, is treated as the roll of a ball that starts with the speed
   which gives that run on the green where it was seen (`equivalent_speed_mps`).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.errors import BadQuestion, OutOfRange
from analytics.hole import FOOT_M, GRAVITY_MPS2

STIMP_RELEASE_MPS = 6.0 * FOOT_M
"""Speed of the ball leaving the ramp: 6.00 ft/s (USGA); real ramps differ by about ±6 %."""

ROLLING = 5 / 7
"""Share of the pull along the slope that speeds up a rolling solid sphere (the rest spins it)."""

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Green:
    """A green as a tilted plane.

    `speed_ft` is the stimpmeter reading in feet (flat), `slope_deg` the slope, `fall_deg` the
    direction of the fall line against the line of play: 0 is downhill along the line of play,
    clockwise seen from above (90: downhill to the right, 180: the line of play is uphill).
    """

    speed_ft: float
    slope_deg: float = 0.0
    fall_deg: float = 0.0


def stimp_deceleration_mps2(green_speed_ft: float) -> float:
    """Deceleration on a flat green, m/s². Source: USGA stimpmeter, a = v₀² / 2S.

    Raises: BadQuestion for a green speed outside 3 to 16 ft.
    """
    if not 3 <= green_speed_ft <= 16:
        raise BadQuestion(
            f"A green speed of {green_speed_ft:g} ft is outside 3 to 16 ft.",
            "give the stimpmeter reading in feet (a usual green is 7 to 12)",
        )
    return STIMP_RELEASE_MPS**2 / (2 * green_speed_ft * FOOT_M)


def rolling_friction(green_speed_ft: float) -> float:
    """Coefficient of rolling friction ρ with a = 5/7 ρ g. Source: Penner 2002."""
    return stimp_deceleration_mps2(green_speed_ft) / (ROLLING * GRAVITY_MPS2)


def slope_pull_mps2(slope_deg: float) -> float:
    """Acceleration of a rolling ball straight down the slope, m/s²."""
    return ROLLING * GRAVITY_MPS2 * math.sin(math.radians(slope_deg))


def steepest_rest_deg(green_speed_ft: float) -> float:
    """Slope above which a rolling ball does not stop, degrees (rolling sphere, see rule 2)."""
    return math.degrees(math.asin(rolling_friction(green_speed_ft)))


def flat_speed_ft(up_ft: float, down_ft: float) -> float:
    """Green speed of a sloping green from the roll up it and the roll down it, feet.

    Source: Brede, USGA Green Section Record 28(6), 1990: 2·S_up·S_down / (S_up + S_down).
    Raises: BadQuestion unless both are above zero.
    """
    if up_ft <= 0 or down_ft <= 0:
        raise BadQuestion(
            f"Rolls of {up_ft:g} and {down_ft:g} ft: both must be above zero.",
            "measure once up and once down the same line",
        )
    return 2 * up_ft * down_ft / (up_ft + down_ft)


def roll_to_rest(speed_mps: Array, heading_deg: Array, green: Green) -> tuple[Array, Array]:
    """Where a rolling ball stops: metres (along the line of play, to its right).

    Args: speed_mps and heading_deg (clockwise from the line of play), shapes that broadcast.
    Source: mechanics. With g' the pull and φ the heading against the fall line the path is exact:
    down = v²·[c²/(a - g') - s²/(a + g')] / 2, across = v²·sin φ·[c/(2a - g') + s/(2a + g')],
    where c = cos²(φ/2) and s = sin²(φ/2).
    Raises: OutOfRange when the slope is too steep for a ball to stop.
    """
    slowing, pull = _slowing_and_pull(green)
    phi = np.radians(np.asarray(heading_deg, dtype=np.float64) - green.fall_deg)
    down, across = _rest(np.asarray(speed_mps, dtype=np.float64), phi, slowing, pull)
    return _along_and_right(down, across, green.fall_deg)


def roll_path(
    speed_mps: Array, heading_deg: Array, green: Green, n_points: int = 25
) -> tuple[Array, Array, Array]:
    """The way to rest as points: metres along, metres to the right, speed in m/s.

    Returns arrays with one more axis (last, length `n_points`, from start to rest). The points are
    where the speed, slope apart, has fallen evenly. Raises: as `roll_to_rest`.
    """
    slowing, pull = _slowing_and_pull(green)
    heading = np.asarray(heading_deg, dtype=np.float64)
    phi = np.radians(heading - green.fall_deg)[..., None]
    left = np.linspace(1.0, 0.0, n_points)
    ratio = pull / slowing
    speed, phi_then = _speed_left(
        np.asarray(speed_mps, dtype=np.float64)[..., None], phi, left, ratio
    )
    down0, across0 = _rest(np.asarray(speed_mps, dtype=np.float64)[..., None], phi, slowing, pull)
    down, across = _rest(speed, phi_then, slowing, pull)
    along, right = _along_and_right(down0 - down, across0 - across, green.fall_deg)
    return along, right, speed


def equivalent_speed_mps(run_m: Array, green: Green) -> Array:
    """Rolling start speed that runs `run_m` straight along the line of play, m/s.

    Only the part of the slope along the line counts. A run below zero (spin back) gives 0.
    Raises: OutOfRange when the slope is too steep for a ball to stop.
    """
    slowing, pull = _slowing_and_pull(green)
    net = slowing - pull * math.cos(math.radians(green.fall_deg))
    return np.asarray(np.sqrt(2 * net * np.maximum(run_m, 0.0)))


def run_on_other_green(run_m: Array, seen_on: Green, wanted_on: Green) -> Array:
    """The run a chip would have on another green, metres: same start, other speed and slope.

    Raises: OutOfRange when either slope is too steep for a ball to stop.
    """
    speed = equivalent_speed_mps(run_m, seen_on)
    slowing, pull = _slowing_and_pull(wanted_on)
    net = slowing - pull * math.cos(math.radians(wanted_on.fall_deg))
    return np.asarray(np.where(np.asarray(run_m) < 0, run_m, speed**2 / (2 * net)))


def _slowing_and_pull(green: Green) -> tuple[float, float]:
    slowing = stimp_deceleration_mps2(green.speed_ft)
    pull = slope_pull_mps2(green.slope_deg)
    if pull >= slowing:
        steepest = steepest_rest_deg(green.speed_ft)
        raise OutOfRange(
            f"A ball does not stop on {green.slope_deg:g}° at a green speed of"
            f" {green.speed_ft:g} ft; it stops up to {steepest:.2f}°.",
            "check slope and green speed, or choose a flatter part of the green",
        )
    return slowing, pull


def _rest(speed: Array, phi: Array, slowing: float, pull: float) -> tuple[Array, Array]:
    """Rest point of a ball: metres down the fall line and across it."""
    cos2, sin2 = np.cos(phi / 2) ** 2, np.sin(phi / 2) ** 2
    down = speed**2 / 2 * (cos2**2 / (slowing - pull) - sin2**2 / (slowing + pull))
    across = speed**2 * np.sin(phi) * (cos2 / (2 * slowing - pull) + sin2 / (2 * slowing + pull))
    return down, across


def _speed_left(speed: Array, phi: Array, left: Array, ratio: float) -> tuple[Array, Array]:
    """Speed and heading against the fall line once tan(φ/2) has shrunk by left**ratio."""
    turn = left**ratio
    # atan2 of the two halves keeps straight uphill (tan of 90°) finite.
    half = np.arctan2(np.sin(phi / 2) * turn, np.cos(phi / 2))
    shrink = np.where(left > 0, np.maximum(left, 1e-300) ** (1 - ratio), 0.0)
    then = speed * shrink * (np.cos(phi / 2) ** 2 + np.sin(phi / 2) ** 2 * turn**2)
    return then, 2 * half


def _along_and_right(down: Array, across: Array, fall_deg: float) -> tuple[Array, Array]:
    fall = math.radians(fall_deg)
    along = down * math.cos(fall) - across * math.sin(fall)
    right = down * math.sin(fall) + across * math.cos(fall)
    return along, right
