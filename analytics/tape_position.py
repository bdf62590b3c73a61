"""A ball's place from two tapes held at two known points, with its error."""

import math
from dataclasses import dataclass
from typing import Literal

from analytics.errors import BadQuestion
from analytics.tape import Length

TOLERATED_ERRORS = 3.0
"""Tapes that miss each other by up to this many standard errors are brought together."""


@dataclass(frozen=True)
class Point:
    """A place in metres: along the line of play and to its right, from any agreed origin."""

    along_m: float
    right_m: float


@dataclass(frozen=True)
class Position:
    """A place with one standard error each way, and by how much the tapes missed each other."""

    place: Point
    error_along_m: float
    error_right_m: float
    gap_m: float

    @property
    def error_m(self) -> float:
        """Standard error of the place, both ways together."""
        return math.hypot(self.error_along_m, self.error_right_m)


def where_tapes_meet(
    first: Point, to_first: Length, second: Point, to_second: Length, side: Literal["left", "right"]
) -> Position:
    """Where two tapes meet.

    Args: side: of the line from the first to the second point, looking from first to second.
    Raises: BadQuestion when the points are the same or the tapes do not meet.
    """
    base = math.hypot(second.along_m - first.along_m, second.right_m - first.right_m)
    if base < 0.05:
        raise BadQuestion(
            "The two known points are the same.", "choose two points at least a pace apart"
        )
    gap = _gap(base, to_first, to_second)
    forward = (base**2 + to_first.metres**2 - to_second.metres**2) / (2 * base)
    across = math.sqrt(max(to_first.metres**2 - forward**2, 0.0))
    if gap > 0:
        # Too short by a hair (or too long): the place on the line that shares the gap by error.
        forward, across = _closest(base, to_first, to_second), 0.0
    sign = 1.0 if side == "right" else -1.0
    ahead = ((second.along_m - first.along_m) / base, (second.right_m - first.right_m) / base)
    place = Point(
        first.along_m + forward * ahead[0] - sign * across * ahead[1],
        first.right_m + forward * ahead[1] + sign * across * ahead[0],
    )
    error_forward, error_across = _errors(base, forward, across, to_first, to_second)
    return Position(
        place,
        math.hypot(error_forward * ahead[0], error_across * ahead[1]),
        math.hypot(error_forward * ahead[1], error_across * ahead[0]),
        gap,
    )


def _gap(base: float, one: Length, two: Length) -> float:
    gap = max(base - one.metres - two.metres, abs(one.metres - two.metres) - base, 0.0)
    allowed = TOLERATED_ERRORS * math.hypot(one.error_m, two.error_m)
    if gap > allowed:
        raise BadQuestion(
            f"Tapes of {one.metres:.2f} m and {two.metres:.2f} m from points {base:.2f} m apart"
            f" miss each other by {gap:.2f} m; {allowed:.2f} m could be measuring error.",
            "measure both tapes again, and check which point each was held at",
        )
    return gap


def _closest(base: float, one: Length, two: Length) -> float:
    """Distance from the first point, on the line, that shares the gap by the tapes' errors."""
    weight = one.error_m**2 / (one.error_m**2 + two.error_m**2)
    if one.metres + two.metres < base:
        return one.metres + weight * (base - one.metres - two.metres)
    if one.metres > two.metres:
        return one.metres - weight * (one.metres - two.metres - base)
    return -(one.metres + weight * (two.metres - one.metres - base))


def _errors(
    base: float, forward: float, across: float, one: Length, two: Length
) -> tuple[float, float]:
    """Errors along and across the base line, from the tapes' errors by the usual propagation.

    Near the base line a small error in length moves the meeting point far across: there the
    error across is that of the second-order term instead, √(2·length·error).
    """
    by_one, by_two = one.metres / base * one.error_m, two.metres / base * two.error_m
    error_forward = math.hypot(by_one, by_two)
    widest = math.sqrt(2 * max(one.metres, two.metres) * math.hypot(one.error_m, two.error_m))
    if across == 0:
        return error_forward, widest
    first = (base - forward) / base * one.metres / across * one.error_m
    second = forward / base * two.metres / across * two.error_m
    return error_forward, min(math.hypot(first, second), widest)
