"""Where balls finished around the hole, seen from above with the fall line pointing down.

Straight below the hole is at the bottom. Bearings run clockwise seen from above from there, so a
ball at 90° lies to the left on the drawing.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from api.plots.scale import round_step
from api.plots.svg import cross, dot, drawing, line, number, tag, text

SIZE = 360.0
CENTRE = SIZE / 2
REACH = 148.0
LOW_SIDE_HALF_DEG = 60.0


@dataclass(frozen=True)
class Leave:
    """One finish: distance from the hole in the reader's unit, and its bearing."""

    distance: float
    bearing_deg: float
    wet: bool = False


@dataclass(frozen=True)
class Words:
    """Words on the face."""

    downhill: str
    low_side: str
    ring: str
    unit: str
    summary: str


def clock_face_svg(leaves: Sequence[Leave], near: float, words: Words) -> str:
    """The face; `near` is the radius of the ring that counts as close, in the reader's unit."""
    farthest = max([near * 1.5, *(leave.distance for leave in leaves)])
    step = round_step(farthest / 4)
    edge = step * -(-farthest // step)
    per_unit = REACH / edge
    radii = [index * step * per_unit for index in range(1, round(edge / step) + 1)]
    parts = [_sector()]
    parts += [tag("circle", cx=CENTRE, cy=CENTRE, r=one, class_="ring") for one in radii]
    parts.append(tag("circle", cx=CENTRE, cy=CENTRE, r=near * per_unit, class_="near"))
    parts.append(line(CENTRE, CENTRE, CENTRE, CENTRE + REACH + 6, "fall-line"))
    parts.append(
        tag("path", d=f"M{number(CENTRE - 6)} {number(CENTRE + REACH)}l6 10l6 -10z", class_="arrow")
    )
    for leave in leaves:
        place = place_of(leave.distance * per_unit, leave.bearing_deg)
        parts.append(cross(*place, "wet", 3.5) if leave.wet else dot(*place, "dot", 3.2))
    parts.append(tag("circle", cx=CENTRE, cy=CENTRE, r=5, class_="hole"))
    parts += _ring_names(radii, step, words.unit)
    parts.append(text(CENTRE, CENTRE + REACH + 26, words.downhill, "tick-name"))
    parts.append(text(8, 18, words.ring, "row-note", "start"))
    parts.append(text(SIZE - 8, 18, words.low_side, "row-note", "end"))
    return drawing(SIZE, SIZE, words.summary, *parts)


def place_of(distance: float, bearing_deg: float) -> tuple[float, float]:
    """Place on the drawing of a point at a distance (drawing units) and bearing."""
    angle = radians(bearing_deg)
    return CENTRE - distance * sin(angle), CENTRE + distance * cos(angle)


def _sector() -> str:
    x1, y1 = place_of(REACH, -LOW_SIDE_HALF_DEG)
    x2, y2 = place_of(REACH, LOW_SIDE_HALF_DEG)
    arc = f"A{number(REACH)} {number(REACH)} 0 0 1 {number(x2)} {number(y2)}Z"
    start = f"M{number(CENTRE)} {number(CENTRE)}L{number(x1)} {number(y1)}"
    return tag("path", d=start + arc, class_="low-side")


def _ring_names(radii: Sequence[float], step: float, unit: str) -> list[str]:
    """How far out each ring is, along the level line and over the balls, so that none hides it."""
    return [
        text(CENTRE + radius, CENTRE - 4, f"{number} {unit}", "ring-name", "middle")
        for radius, number in zip(radii, _names(len(radii), step), strict=True)
    ]


def _names(count: int, step: float) -> list[str]:
    return [f"{index * step:g}" for index in range(1, count + 1)]
