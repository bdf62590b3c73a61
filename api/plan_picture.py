"""A picture of a plan: the line of play from the ball to the hole, where balls land and stop."""

from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from analytics.hole import FOOT_M
from analytics.shot_plan import ClubPlan
from analytics.shot_simulation import Situation
from api.planning import Planned
from api.plots.scale import round_step
from api.plots.svg import box, dot, drawing, line, number, tag, text
from api.reader_units import ReaderUnits
from api.standing_svg import standing

WIDTH, LEFT, TOP, BELOW = 640.0, 24.0, 34.0, 58.0
SHOWN = 160
SHARE_SHOWN = 97


@dataclass(frozen=True)
class _View:
    """From metres along and right of the line of play to places on the drawing."""

    along_low: float
    scale: float
    middle_y: float

    def place(self, along_m: float, right_m: float) -> tuple[float, float]:
        return LEFT + (along_m - self.along_low) * self.scale, self.middle_y + right_m * self.scale


def plan_picture(told: Planned, units: ReaderUnits) -> str:
    """The best club's plan as SVG that carries its own style.

    Rings where balls land, dots where they stop, the hole with its 6 ft ring, the fall line.
    """
    spot, one = told.plan.situation, told.plan.clubs[0]
    every = max(1, one.plays.rest_along_m.size // SHOWN)
    shown = slice(0, None, every)
    rest = one.plays.rest_along_m[shown], one.plays.rest_right_m[shown]
    land = one.plays.land_along_m[shown], one.plays.land_right_m[shown]
    view, height = _view(spot, rest)
    floor = height - BELOW
    parts = [box(view.place(spot.edge_m, 0)[0], WIDTH - 4, TOP - 12, floor, "green")]
    parts += [_line_of_play(view, spot), _aim(view, one)]
    for places, shape in ((land, "land"), (rest, "rest")):
        on_view = [view.place(float(a), float(r)) for a, r in zip(*places, strict=True)]
        parts += [dot(x, y, shape, 2.5) for x, y in on_view if x < WIDTH - 6 and TOP < y < floor]
    parts += _hole(view, spot)
    parts += _axis(view, floor, units)
    zone = one.leave_zone
    said = (
        f"{one.club}: carry {units.of_metres(one.carry_m):.1f} {units.length}, leave zone"
        f" {zone.value:.0%} ({zone.low:.0%} to {zone.high:.0%}), {one.strokes:.2f} strokes"
    )
    parts.append(text(LEFT, 14, said, "row-name", "start"))
    key = "rings: where it lands · dots: where it stops · dashed ring: 6 ft · arrow: downhill"
    parts.append(text(LEFT, height - 8, key, "row-note", "start"))
    return standing(drawing(WIDTH, height, said, *parts))


def _view(spot: Situation, rest: tuple[np.ndarray, np.ndarray]) -> tuple[_View, float]:
    along_high = max(spot.hole_m + 2.2, float(np.percentile(rest[0], SHARE_SHOWN)))
    side = max(2.2, float(np.percentile(np.abs(rest[1]), SHARE_SHOWN)))
    scale = (WIDTH - 2 * LEFT) / along_high
    half = side * scale + 10
    return _View(0.0, scale, TOP + half), TOP + 2 * half + BELOW


def _line_of_play(view: _View, spot: Situation) -> str:
    return line(*view.place(0, 0), *view.place(spot.hole_m, 0), "line-of-play") + dot(
        *view.place(0, 0), "target", 5
    )


def _aim(view: _View, one: ClubPlan) -> str:
    turn = radians(one.aim_deg)
    return line(
        *view.place(0, 0), *view.place(one.carry_m * cos(turn), one.carry_m * sin(turn)), "aim"
    )


def _hole(view: _View, spot: Situation) -> list[str]:
    x, y = view.place(spot.hole_m, 0)
    near = 6 * FOOT_M * view.scale
    parts = [tag("circle", cx=x, cy=y, r=near, class_="near"), dot(x, y, "target", 5)]
    if spot.green.slope_deg > 0:
        turn = radians(spot.green.fall_deg)
        end_x, end_y = x + near * cos(turn), y + near * sin(turn)
        parts.append(line(x, y, end_x, end_y, "fall-line"))
        parts.append(_arrow(end_x, end_y, turn))
    return parts


def _arrow(x: float, y: float, turn: float) -> str:
    points = [
        (x + 9 * cos(turn), y + 9 * sin(turn)),
        (x + 5 * cos(turn + 1.57), y + 5 * sin(turn + 1.57)),
        (x + 5 * cos(turn - 1.57), y + 5 * sin(turn - 1.57)),
    ]
    return tag(
        "polygon", points=" ".join(f"{number(a)},{number(b)}" for a, b in points), class_="arrow"
    )


def _axis(view: _View, y: float, units: ReaderUnits) -> list[str]:
    far = units.of_metres((WIDTH - 2 * LEFT) / view.scale)
    step = round_step(far / 6)
    parts = [line(LEFT, y, WIDTH - LEFT, y, "axis")]
    for index in range(int(far // step) + 1):
        x, _ = view.place(units.to_metres(index * step), 0)
        parts.append(line(x, y, x, y + 4, "axis") + text(x, y + 16, f"{index * step:g}"))
    title = f"from the ball, {units.length}"
    return [*parts, text(WIDTH - LEFT, y + 31, title, "axis-title", "end")]
