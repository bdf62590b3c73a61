"""Three swings to feel for one carry: a bit long, a bit short, the shot.

Rules
-----
1. The shot's speed is the carry curve read backwards, with its interval.
2. The rehearsals are meant as far to either side as holds the window 95 times in 100 at the
   player's own repeatability; without a window, or before the repeatability is known, 12 % of
   carry to either side: common practice, no source.
3. Rehearsals run without a ball. If the player's run faster, the sensor will show that much more
   for the same feel, and both numbers are given.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from analytics.answer import Answer
from analytics.bracket import RehearsalBias
from analytics.errors import BadQuestion
from analytics.power_curve import CarryCurve

USUAL_ASIDE = 0.12
NO_LENGTHS: Mapping[str, float] = {}


@dataclass(frozen=True)
class SwingToFeel:
    """One of the three: carry meant (m), club speed it needs (m/s), and what a rehearsal reads.

    swing_length: the player's named length whose usual carry comes nearest, None where none is.
    """

    name: str
    carry_m: float
    speed_mps: Answer
    rehearsal_speed_mps: float | None
    swing_length: str | None = None


@dataclass(frozen=True)
class SpeedCard:
    """Three swings for a carry with one club."""

    club: str
    target_m: float
    bracket_m: float
    from_own_repeatability: bool
    long: SwingToFeel
    short: SwingToFeel
    shot: SwingToFeel


def speed_card(
    curve: CarryCurve,
    target_m: float,
    bracket_m: float | None = None,
    bias: RehearsalBias | None = None,
    lengths: Mapping[str, float] = NO_LENGTHS,
) -> SpeedCard:
    """The three swings for `target_m` metres of carry.

    Args:
        curve: the club's carry curve on club speed.
        bracket_m: width from short to long, metres of carry; None takes the usual 12 % aside.
        bias: rehearsal minus ball in ln carry; None gives no rehearsal reading.
        lengths: usual carry in metres of each named swing length with this club.
    Raises: OutOfRange beyond the speeds seen; BadQuestion for a carry or bracket that cannot be.
    """
    width = 2 * USUAL_ASIDE * target_m if bracket_m is None else bracket_m
    if not 0 < width < 2 * target_m:
        raise BadQuestion(
            f"A bracket of {width:.1f} m around {target_m:.1f} m has no short side.",
            "Give a target above zero and a bracket narrower than twice the target.",
        )
    aside = width / 2
    return SpeedCard(
        club=curve.club,
        target_m=target_m,
        bracket_m=width,
        from_own_repeatability=bracket_m is not None,
        long=_to_feel(curve, "long", target_m + aside, bias, lengths),
        short=_to_feel(curve, "short", target_m - aside, bias, lengths),
        shot=_to_feel(curve, "shot", target_m, None, lengths),
    )


def _to_feel(
    curve: CarryCurve,
    name: str,
    carry_m: float,
    bias: RehearsalBias | None,
    lengths: Mapping[str, float],
) -> SwingToFeel:
    """One of the three swings; with a `bias` it is a rehearsal, and what the sensor will read."""
    speed = curve.speed_for(carry_m)
    reads = None
    if bias is not None and speed.value is not None:
        reads = speed.value * math.exp(bias.mean_ln / curve.exponent)
    nearest = min(lengths, key=lambda length: abs(lengths[length] - carry_m), default=None)
    return SwingToFeel(name, carry_m, speed, reads, nearest)
