"""A mark as a person says it at the green, made into a row of `marks`; nothing is written here.

Ways to say where a ball finished, one of them:
* how far from the hole, and where: on a clock face (6 is straight below the hole), as a bearing in
  degrees, or as below / above with left / right;
* past the hole and to its right along the line of play, with the fall line of the day;
* two tapes: to the hole and to a peg straight below it, and the side looking down the slope.
`holed` or a leave of 0 needs no direction. Where it landed: past the green's edge, and to the side.
"""

import math
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal

from analytics.errors import BadQuestion
from analytics.leave import from_clock, from_line_of_play
from analytics.tape import Length, Pace, read_length
from analytics.tape_position import Point, where_tapes_meet
from ingest.hand_entry import Cell

DIRECTION_ERROR_DEG = 10.0
"""One standard error of a direction told by clock hour or eye: common practice, no source."""


@dataclass(frozen=True)
class MarkSaid:
    """What was said about one ball; lengths as text (`3'4`, `1.02 m`, `4 paces`)."""

    entry_id: str
    at_utc: datetime
    ball_number: int | None = None
    holed: bool = False
    leave: str | None = None
    clock: float | None = None
    bearing_deg: float | None = None
    past_hole: str | None = None
    right_of_hole: str | None = None
    fall_line_deg: float | None = None
    tape_to_hole: str | None = None
    tape_to_peg: str | None = None
    peg_below: str = "6 ft"
    peg_side: Literal["left", "right"] | None = None
    landed_past_edge: str | None = None
    landed_right: str | None = None
    unit: str | None = None
    note: str | None = None


def mark_row(said: MarkSaid, pace: Pace | None = None) -> dict[str, Cell]:
    """The row of `marks`, SI units, with one standard error of each place.

    Raises: BadQuestion for a mark that cannot be, or that says nothing.
    """
    if said.at_utc.tzinfo is None:
        raise BadQuestion("The time of the mark has no zone.", "write it with an offset")
    if said.ball_number is not None and said.ball_number < 0:
        raise BadQuestion(f"Ball {said.ball_number} cannot be.", "count balls from 1")
    finish = _finish(said, pace)
    landing = _landing(said, pace)
    if not finish and not landing:
        raise BadQuestion(
            "The mark says neither where the ball landed nor where it finished.",
            "give --leave with --clock, or --landed",
        )
    return {
        "entry_id": said.entry_id,
        "ball_number": said.ball_number,
        "marked_at_utc": said.at_utc.astimezone(UTC),
        "note": said.note,
        **landing,
        **finish,
    }


def _finish(said: MarkSaid, pace: Pace | None) -> dict[str, Cell]:
    ways = [
        said.holed,
        said.leave is not None,
        said.past_hole is not None,
        said.tape_to_hole is not None or said.tape_to_peg is not None,
    ]
    if sum(ways) > 1:
        raise BadQuestion(
            "The finish is said in two ways.", "say it once: leave, past the hole, or two tapes"
        )
    if said.holed:
        return {"leave_m": 0.0, "leave_error_m": 0.0, "method": "holed"}
    if said.tape_to_hole is not None or said.tape_to_peg is not None:
        return _two_tapes(said, pace)
    if said.past_hole is not None:
        return _along_line(said, pace)
    return _distance_and_direction(said, pace) if said.leave is not None else {}


def _distance_and_direction(said: MarkSaid, pace: Pace | None) -> dict[str, Cell]:
    assert said.leave is not None
    length = read_length(said.leave, said.unit, pace)
    if length.metres == 0:
        return {"leave_m": 0.0, "leave_error_m": 0.0, "method": "holed"}
    if said.clock is not None and said.bearing_deg is not None:
        raise BadQuestion("The direction is said in two ways.", "give the clock or the bearing")
    bearing = from_clock(said.clock) if said.clock is not None else said.bearing_deg
    if bearing is not None and not 0 <= bearing <= 360:
        raise BadQuestion(f"A bearing of {bearing:g}° cannot be.", "give 0 to 360 degrees")
    turned = length.metres * math.radians(DIRECTION_ERROR_DEG) if bearing is not None else 0.0
    return {
        "leave_m": length.metres,
        "leave_bearing_deg": bearing,
        "leave_error_m": math.hypot(length.error_m, turned),
        "method": length.method,
    }


def _along_line(said: MarkSaid, pace: Pace | None) -> dict[str, Cell]:
    if said.fall_line_deg is None:
        raise BadQuestion(
            "The fall line is not known.",
            "give its direction against the line of play, or use the clock face",
        )
    past = signed_length(said.past_hole or "0 m", said.unit, pace)
    right = signed_length(said.right_of_hole or "0 m", said.unit, pace)
    leave, bearing = from_line_of_play(past.metres, right.metres, said.fall_line_deg)
    return {
        "leave_m": leave,
        "leave_bearing_deg": bearing if leave else None,
        "leave_error_m": math.hypot(past.error_m, right.error_m),
        "method": past.method,
    }


def _two_tapes(said: MarkSaid, pace: Pace | None) -> dict[str, Cell]:
    if said.tape_to_hole is None or said.tape_to_peg is None or said.peg_side is None:
        raise BadQuestion(
            "One tape places no ball.",
            "give the tapes to the hole and to the peg straight below it, and left or right of it",
        )
    one = read_length(said.tape_to_hole, said.unit, pace)
    two = read_length(said.tape_to_peg, said.unit, pace)
    below = read_length(said.peg_below, said.unit, pace).metres
    found = where_tapes_meet(Point(0, 0), one, Point(below, 0), two, said.peg_side)
    place = found.place
    return {
        "leave_m": math.hypot(place.along_m, place.right_m),
        "leave_bearing_deg": math.degrees(math.atan2(place.right_m, place.along_m)) % 360,
        "leave_error_m": found.error_m,
        "method": "two tapes",
    }


def _landing(said: MarkSaid, pace: Pace | None) -> dict[str, Cell]:
    if said.landed_past_edge is None:
        if said.landed_right is not None:
            raise BadQuestion(
                "The landing is said to the side only.", "give how far past the edge as well"
            )
        return {}
    past = signed_length(said.landed_past_edge, said.unit, pace)
    right = signed_length(said.landed_right or "0 m", said.unit, pace)
    return {
        "land_past_edge_m": past.metres,
        "land_side_m": right.metres if said.landed_right is not None else None,
        "land_error_m": math.hypot(past.error_m, right.error_m),
        "method": past.method,
    }


def signed_length(text: str, unit: str | None = None, pace: Pace | None = None) -> Length:
    """A length that may carry a sign or a word: `-2 ft`, `2 ft short`, `1 ft left`, `3 ft right`.

    Raises: BadQuestion for what is no length.
    """
    said = text.strip().lower().replace("−", "-")
    sign = 1.0
    for word in ("short", "left"):
        if said.endswith(word):
            said, sign = said.removesuffix(word).strip(), -1.0
    for word in ("past", "right"):
        said = said.removesuffix(word).strip()
    if said.startswith(("-", "+")):
        sign, said = (-sign if said[0] == "-" else sign), said[1:].strip()
    length = read_length(said, unit, pace)
    return Length(sign * length.metres, length.error_m, length.method)
