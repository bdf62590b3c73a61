"""How far a struck ball flies by public formulas: what wind does to a chip, and made-up shots.

No public drag and lift measurements cover a chip: at 5 to 20 m/s the Reynolds number is 15 000 to
58 000, below every published range, and sidespin ratios are above it. Over all plausible
coefficients carry differs from vacuum by -2/+1 % at 5 m/s and -22/+9 % at 20 m/s. So a player's
curve comes from the player's shots, and no answer about a player rests on this module alone.

Sources: Smits & Smith 1994, "A new aerodynamic model of a golf ball in flight", Science and Golf
II (coefficients, spin decay); ISO 2533:1975 (air); Sutherland's law (viscosity).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from analytics.errors import BadQuestion
from analytics.hole import GRAVITY_MPS2

MASS_KG = 0.04593
DIAMETER_M = 0.04267
RADIUS_M = DIAMETER_M / 2
AREA_M2 = math.pi * RADIUS_M**2


@dataclass(frozen=True)
class Air:
    """Density in kg/m³, kinematic viscosity in m²/s, tail wind in m/s (- is a head wind).

    The default is ISO 2533 at sea level, still.
    """

    density_kgpm3: float = 1.225
    viscosity_m2ps: float = 1.7894e-5 / 1.225
    tail_wind_mps: float = 0.0


@dataclass(frozen=True)
class Launch:
    """How the ball leaves: speed in m/s, angle above level in degrees, backspin in rev/min."""

    speed_mps: float
    angle_deg: float
    backspin_rpm: float = 0.0


@dataclass(frozen=True)
class Flight:
    """Carry and apex in metres, time in seconds, and the ball as it lands (angle below level)."""

    carry_m: float
    flight_s: float
    apex_m: float
    landing_mps: float
    landing_deg: float
    backspin_rpm: float


Coefficients = Callable[[float, float], tuple[float, float]]
"""Drag and lift coefficient for a Reynolds number and a spin ratio ωr/V."""


def constant_coefficients(drag: float, lift: float) -> Coefficients:
    """The same drag and lift at every speed."""
    return lambda _reynolds, _spin_ratio: (drag, lift)


def smits_smith(reynolds: float, spin_ratio: float) -> tuple[float, float]:
    """Drag and lift measured for 70 000 < Re < 210 000 and 0.08 < S < 0.20; printed form."""
    drag = 0.24 + 0.18 * spin_ratio + 0.06 * math.sin(math.pi * (reynolds - 90_000) / 200_000)
    return drag, 0.54 * spin_ratio**0.4


def smits_smith_clipped(reynolds: float, spin_ratio: float) -> tuple[float, float]:
    """The same, held at the ends of the measured speeds and at spin ratios of 0.08 and 0.30."""
    return smits_smith(min(max(reynolds, 70_000), 210_000), min(max(spin_ratio, 0.08), 0.30))


def vacuum_carry_m(
    speed_mps: NDArray[np.float64], angle_deg: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Carry without air over level ground, metres: v²·sin 2θ / g."""
    return np.asarray(speed_mps**2 * np.sin(2 * np.radians(angle_deg)) / GRAVITY_MPS2)


def standard_air(height_m: float) -> Air:
    """Air of ISO 2533 at a height in metres, with Sutherland's viscosity."""
    kelvin = 288.15 - 0.0065 * height_m
    pascal = 101_325 * (kelvin / 288.15) ** 5.25588
    density = pascal / (287.05287 * kelvin)
    return Air(density, dynamic_viscosity_pas(kelvin) / density)


def dynamic_viscosity_pas(kelvin: float) -> float:
    """Viscosity of air, Pa·s. Source: Sutherland's law with the constants of ISO 2533."""
    return float(1.458e-6 * kelvin**1.5 / (kelvin + 110.4))


def fly(launch: Launch, coefficients: Coefficients, air: Air = Air(), decay: float = 0.0) -> Flight:
    """Carry, time, apex and landing over level ground, by integrating the equation of motion.

    Args: coefficients: drag and lift; decay: spin decay constant (2e-5 by Smits & Smith).
    Raises: BadQuestion for a launch that leaves no ball in the air.
    """
    if launch.speed_mps <= 0 or not 0 < launch.angle_deg < 90:
        raise BadQuestion(
            f"A launch of {launch.speed_mps:g} m/s at {launch.angle_deg:g}° does not fly.",
            "give a speed above zero and an angle between 0 and 90 degrees",
        )
    angle = math.radians(launch.angle_deg)
    start = [
        0.0,
        0.0,
        launch.speed_mps * math.cos(angle),
        launch.speed_mps * math.sin(angle),
        launch.backspin_rpm * 2 * math.pi / 60,
    ]
    solved = solve_ivp(
        _motion(coefficients, air, decay),
        (0.0, 4 * launch.speed_mps / GRAVITY_MPS2 + 1),
        start,
        method="DOP853",
        rtol=1e-10,
        atol=1e-12,
        events=[_Landing(), _turns],
    )
    carry, _, forward, up, spin = solved.y_events[0][0]
    return Flight(
        carry_m=float(carry),
        flight_s=float(solved.t_events[0][0]),
        apex_m=float(solved.y_events[1][0][1]),
        landing_mps=math.hypot(forward, up),
        landing_deg=math.degrees(math.atan2(-up, forward)),
        backspin_rpm=float(spin) * 60 / (2 * math.pi),
    )


def _motion(
    coefficients: Coefficients, air: Air, decay: float
) -> Callable[[float, NDArray[np.float64]], list[float]]:
    push = air.density_kgpm3 * AREA_M2 / (2 * MASS_KG)

    def motion(_t: float, state: NDArray[np.float64]) -> list[float]:
        _, _, ground, up, spin = state
        forward = ground - air.tail_wind_mps
        speed = math.hypot(forward, up)
        drag, lift = coefficients(speed * DIAMETER_M / air.viscosity_m2ps, spin * RADIUS_M / speed)
        return [
            ground,
            up,
            -push * speed * (drag * forward + lift * up),
            -GRAVITY_MPS2 - push * speed * (drag * up - lift * forward),
            -decay * spin * speed / RADIUS_M,
        ]

    return motion


class _Landing:
    """Height above the ground; integration ends where it falls through zero."""

    terminal = True
    direction = -1

    def __call__(self, t: float, state: NDArray[np.float64]) -> float:
        # The launch itself is at height zero and must not count as a landing.
        return float(state[1]) if t > 0 else 1.0


def _turns(_t: float, state: NDArray[np.float64]) -> float:
    return float(state[3])
