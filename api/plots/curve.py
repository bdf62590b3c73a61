"""Points with the band for one shot, the band for the mean, and the centre line over them."""

from collections.abc import Sequence
from dataclasses import dataclass

from api.plots.scale import axis_x, axis_y, covering
from api.plots.svg import area, cross, dot, drawing, path

WIDTH, HEIGHT = 360.0, 260.0
LEFT, RIGHT, TOP, BOTTOM = 40.0, 352.0, 24.0, 220.0


@dataclass(frozen=True)
class Band:
    """Centre and bands at growing x; all of one length. `one_*` may be empty."""

    x: Sequence[float]
    centre: Sequence[float]
    low: Sequence[float]
    high: Sequence[float]
    one_low: Sequence[float] = ()
    one_high: Sequence[float] = ()


@dataclass(frozen=True)
class Points:
    """Observed points; `aside` says which do not count (drawn as crosses)."""

    x: Sequence[float]
    y: Sequence[float]
    aside: Sequence[bool]


MOST_POINTS = 600
"""More points than this say no more; an even selection is drawn and the caller says so."""


def curve_svg(points: Points, band: Band | None, titles: tuple[str, str], summary: str) -> str:
    """The chart; `titles` are the words at the x and the y axis. Without a band: points only."""
    shapes = [] if band is None else [*band.x]
    x_scale = covering([*points.x, *shapes], LEFT, RIGHT)
    heights = [] if band is None else [*band.low, *band.high, *band.one_low, *band.one_high]
    y_scale = covering([*points.y, *heights], BOTTOM, TOP)
    parts = [axis_x(x_scale, BOTTOM, titles[0]), axis_y(y_scale, LEFT, titles[1])]
    if band is not None:
        along = [x_scale(value) for value in band.x]
        for low, high, name in (
            (band.one_low, band.one_high, "band-one"),
            (band.low, band.high, "band-mean"),
        ):
            if len(low):
                edge = list(zip(along, map(y_scale, high), strict=True))
                back = list(zip(along, map(y_scale, low), strict=True))
                parts.append(area([*edge, *reversed(back)], name))
        parts.append(path(zip(along, map(y_scale, band.centre), strict=True), "centre"))
    for x, y, aside in thinned(points):
        draw = cross if aside else dot
        parts.append(draw(x_scale(x), y_scale(y), *(() if aside else ("dot", 2.6))))
    return drawing(WIDTH, HEIGHT, summary, *parts)


def thinned(points: Points) -> list[tuple[float, float, bool]]:
    """At most `MOST_POINTS` of the points, evenly over their order."""
    rows = list(zip(points.x, points.y, points.aside, strict=True))
    if len(rows) <= MOST_POINTS:
        return rows
    step = len(rows) / MOST_POINTS
    return [rows[int(index * step)] for index in range(MOST_POINTS)]
