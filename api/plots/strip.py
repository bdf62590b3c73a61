"""Strips along the line of play: a window with what fell in and around it."""

from collections.abc import Sequence
from dataclasses import dataclass

from api.plots.scale import Scale, axis_x, covering
from api.plots.svg import box, cross, dot, drawing, line, text

WIDTH = 360.0
LEFT, RIGHT = 14.0, 346.0
LETTER = 7.6
"""Room of one letter of a tick's name, in bold."""


@dataclass(frozen=True)
class Tick:
    """One named value with its interval, for the triple: long, short, shot."""

    name: str
    value: float
    low: float
    high: float
    kind: str = "rehearsal"
    """rehearsal or shot; tells the shape of the tick."""


def triple_svg(ticks: Sequence[Tick], window: tuple[float, float], title: str, summary: str) -> str:
    """Ticks with whiskers around the window, one line each so that names never overlap."""
    ends = [end for tick in ticks for end in (tick.low, tick.high)]
    scale = covering([*window, *ends], LEFT, RIGHT, 0.1)
    bottom = 22 + 38 * max(1, len(ticks))
    parts = [box(scale(window[0]), scale(window[1]), 8, bottom, "window")]
    for index, tick in enumerate(ticks):
        y = 34.0 + 38 * index
        parts.append(box(scale(tick.low), scale(tick.high), y - 5, y + 5, "whisker"))
        parts.append(_tick_shape(tick, scale(tick.value), y))
        parts.append(_name_beside(tick, scale, y))
    parts.append(axis_x(scale, bottom, title))
    return drawing(WIDTH, bottom + 38, summary, *parts)


def _tick_shape(tick: Tick, x: float, y: float) -> str:
    if tick.kind == "shot":
        return dot(x, y, "shot-dot", 7)
    return line(x, y - 11, x, y + 11, "rehearsal-tick")


def _name_beside(tick: Tick, scale: Scale, y: float) -> str:
    half = max(48.0, LETTER * len(tick.name) / 2)
    centre = min(max(scale(tick.value), LEFT + half), RIGHT - half)
    return text(centre, y - 14, tick.name, "tick-name")


def landing_svg(
    values: Sequence[float],
    aside: Sequence[bool],
    window: tuple[float, float],
    mean: tuple[float, float, float] | None,
    words: tuple[str, str],
) -> str:
    """Every landing as a dot (mishits as crosses), stacked; the mean with its interval below.

    `mean` is (value, low, high); `words` are the axis title and the summary.
    """
    scale = covering([*values, *window, *(mean or ())], LEFT, RIGHT)
    base, rows = 96.0, stacked(values, scale, 7.0, 10)
    parts = [box(scale(window[0]), scale(window[1]), 8, base, "window")]
    for value, row, off in zip(values, rows, aside, strict=True):
        place = (scale(value), base - 8 - 7.5 * row)
        parts.append(cross(*place, reach=3) if off else dot(*place, "dot", 3))
    if mean is not None:
        value, low, high = map(scale, mean)
        parts.append(box(low, high, base + 3, base + 9, "band-mean"))
        parts.append(line(value, base, value, base + 12, "centre"))
    parts.append(axis_x(scale, base + 14, words[0]))
    return drawing(WIDTH, base + 52, words[1], *parts)


def stacked(values: Sequence[float], scale: Scale, apart: float, most: int) -> list[int]:
    """Row of each value so that dots in one row do not touch; the top row takes what is left."""
    last: list[float] = [-1e9] * most
    rows = [0] * len(values)
    for index in sorted(range(len(values)), key=lambda item: values[item]):
        x = scale(values[index])
        free = next((row for row in range(most) if x - last[row] >= apart), most - 1)
        last[free] = x
        rows[index] = free
    return rows
