"""What a player should be told before and during practice so that nobody gets hurt.

Rules
-----
1. The usual cautions stand on every page that sets homework. Nothing here diagnoses a body: pain
   is for a doctor or physiotherapist.
2. The number of balls per session and between rests is the coach's choice; the numbers below are
   only where no choice was made. Common practice, no source.
"""

from dataclasses import dataclass
from typing import Literal

Caution = Literal["clear_space", "load", "junior", "rest_now", "cap_near", "cap_reached"]

ADULT_BALLS = 90
JUNIOR_BALLS = 45
ADULT_REST_EVERY = 30
JUNIOR_REST_EVERY = 15
NEAR = 10


@dataclass(frozen=True)
class BallLimits:
    """Balls per session and balls between rests."""

    cap: int
    rest_every: int


def usual_limits(age_band: str | None) -> BallLimits:
    """Limits while the coach has chosen none."""
    if age_band == "junior":
        return BallLimits(JUNIOR_BALLS, JUNIOR_REST_EVERY)
    return BallLimits(ADULT_BALLS, ADULT_REST_EVERY)


def standing_cautions(age_band: str | None) -> tuple[Caution, ...]:
    """Cautions that stand beside every plan."""
    usual: tuple[Caution, ...] = ("clear_space", "load")
    return (*usual, "junior") if age_band == "junior" else usual


def ball_cautions(balls_today: int, limits: BallLimits) -> tuple[Caution, ...]:
    """What the number of balls struck today calls for, the most pressing first."""
    if balls_today >= limits.cap:
        return ("cap_reached",)
    found: list[Caution] = []
    if balls_today > 0 and balls_today % limits.rest_every == 0:
        found.append("rest_now")
    if limits.cap - balls_today <= NEAR:
        found.append("cap_near")
    return tuple(found)
