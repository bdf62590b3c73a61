"""The chart of a plan: the line of play from the ball to the hole, where balls land and stop."""

from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from analytics.db import Connection
from analytics.leave import NEAR_M
from analytics.shot_plan import ClubPlan
from analytics.shot_simulation import Situation
from api.page_view import View
from api.planning import Planned
from api.player_cards import PlayerCard
from api.plots.scale import round_step
from api.plots.svg import Figure, box, dot, drawing, line, number, tag, text

WIDTH, LEFT, TOP, BELOW = 640.0, 24.0, 34.0, 58.0
SHOWN = 160
SHARE_SHOWN = 97


@dataclass(frozen=True)
class _Plane:
    """From metres along and right of the line of play to places on the drawing."""

    along_low: float
    scale: float
    middle_y: float

    def place(self, along_m: float, right_m: float) -> tuple[float, float]:
        return LEFT + (along_m - self.along_low) * self.scale, self.middle_y + right_m * self.scale


def figures(con: Connection, player: PlayerCard, view: View) -> list[Figure]:  # noqa: ARG001
    """None: a plan's chart belongs to the chip that was asked, not to the player alone."""
    return []


def plan_figure(view: View, told: Planned) -> Figure:
    """The best club's plan, and all clubs as a table.

    Rings where balls land, dots where they stop, the hole with its ring of 6 ft, the fall line.
    """
    spot, one = told.plan.situation, told.plan.clubs[0]
    every = max(1, one.plays.rest_along_m.size // SHOWN)
    shown = slice(0, None, every)
    rest = one.plays.rest_along_m[shown], one.plays.rest_right_m[shown]
    land = one.plays.land_along_m[shown], one.plays.land_right_m[shown]
    plane, height = _plane(spot, rest)
    floor = height - BELOW
    parts = [box(plane.place(spot.edge_m, 0)[0], WIDTH - 4, TOP - 12, floor, "green")]
    parts += [_line_of_play(plane, spot), _aim(plane, one)]
    for places, shape in ((land, "land"), (rest, "rest")):
        drawn = [plane.place(float(a), float(r)) for a, r in zip(*places, strict=True)]
        parts += [dot(x, y, shape, 2.5) for x, y in drawn if x < WIDTH - 6 and TOP < y < floor]
    parts += [*_hole(plane, spot), *_axis(plane, floor, view)]
    summary = _summary(view, one)
    parts.append(text(LEFT, 14, one.club, "row-name", "start"))
    parts.append(text(LEFT, height - 8, key_of(view), "row-note", "start"))
    svg = drawing(WIDTH, height, summary, *parts)
    names = ("club", "carry", "past_edge", "run", "leave_zone", "up_and_down", "strokes")
    header = tuple(view.texts.say(f"plan.{name}") for name in names)
    rows = tuple(_row(view, club) for club in told.plan.clubs)
    return Figure("plan", view.texts.say("plan.title"), summary, svg, header, rows)


def key_of(view: View) -> str:
    """What the shapes of the drawing mean."""
    return view.texts.say("plan.key", near=view.quantity(NEAR_M, "m"))


def _summary(view: View, one: ClubPlan) -> str:
    zone = one.leave_zone
    return view.texts.say(
        "plan.summary",
        club=one.club,
        carry=view.quantity(one.carry_m, "m"),
        past=view.quantity(one.land_on_m, "m"),
        zone=view.quantity(zone.value, "share"),
        low=view.quantity(zone.low, "share"),
        high=view.quantity(zone.high, "share"),
        strokes=view.number(one.strokes, 2),
    )


def _row(view: View, one: ClubPlan) -> tuple[str, ...]:
    return (
        one.club,
        view.quantity(one.carry_m, "m"),
        view.quantity(one.land_on_m, "m"),
        view.quantity(one.run_m, "m"),
        view.quantity(one.leave_zone.value, "share"),
        view.quantity(one.up_and_down.value, "share"),
        view.number(one.strokes, 2),
    )


def _plane(spot: Situation, rest: tuple[np.ndarray, np.ndarray]) -> tuple[_Plane, float]:
    along_high = max(spot.hole_m + 2.2, float(np.percentile(rest[0], SHARE_SHOWN)))
    side = max(2.2, float(np.percentile(np.abs(rest[1]), SHARE_SHOWN)))
    scale = (WIDTH - 2 * LEFT) / along_high
    half = side * scale + 10
    return _Plane(0.0, scale, TOP + half), TOP + 2 * half + BELOW


def _line_of_play(plane: _Plane, spot: Situation) -> str:
    return line(*plane.place(0, 0), *plane.place(spot.hole_m, 0), "line-of-play") + dot(
        *plane.place(0, 0), "target", 5
    )


def _aim(plane: _Plane, one: ClubPlan) -> str:
    turn = radians(one.aim_deg)
    return line(
        *plane.place(0, 0), *plane.place(one.carry_m * cos(turn), one.carry_m * sin(turn)), "aim"
    )


def _hole(plane: _Plane, spot: Situation) -> list[str]:
    x, y = plane.place(spot.hole_m, 0)
    near = NEAR_M * plane.scale
    parts = [tag("circle", cx=x, cy=y, r=near, class_="near"), dot(x, y, "hole", 5)]
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


def _axis(plane: _Plane, y: float, view: View) -> list[str]:
    far = view.to_length((WIDTH - 2 * LEFT) / plane.scale)
    step = round_step(far / 6)
    parts = [line(LEFT, y, WIDTH - LEFT, y, "axis")]
    for index in range(int(far // step) + 1):
        x, _ = plane.place(view.from_length(index * step), 0)
        parts.append(line(x, y, x, y + 4, "axis") + text(x, y + 16, f"{index * step:g}", "tick"))
    title = view.texts.say("plan.axis", unit=view.length)
    return [*parts, text(WIDTH - LEFT, y + 31, title, "axis-title", "end")]
