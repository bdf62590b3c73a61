"""A value over the sessions: interval bars first, then the values, breaks and wet days shown."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from api.plots.scale import Scale, axis_y, covering
from api.plots.svg import area, box, dot, drawing, line, path, text

WIDTH, HEIGHT = 360.0, 220.0
LEFT, RIGHT, TOP, BOTTOM = 40.0, 350.0, 24.0, 178.0
BREAK_DAYS = 21


@dataclass(frozen=True)
class Session:
    """One session's value; `mark` is a short word under its date (wet, other ball …)."""

    day: date
    label: str
    value: float | None
    low: float | None
    high: float | None
    mark: str = ""


@dataclass(frozen=True)
class Trend:
    """A straight trend over the sessions: value and interval at the first and last one."""

    first: tuple[float, float, float]
    last: tuple[float, float, float]


def sessions_svg(
    sessions: Sequence[Session], title: str, summary: str, trend: Trend | None = None
) -> str:
    """The chart; sessions stand at their dates, more than three weeks apart parts the line."""
    values = [v for one in sessions for v in (one.value, one.low, one.high) if v is not None]
    if trend is not None:
        values += [*trend.first, *trend.last]
    y_scale = covering(values, BOTTOM, TOP)
    days = [one.day.toordinal() for one in sessions]
    x_scale = covering(map(float, days), LEFT + 12, RIGHT - 12, 0.02)
    parts = [axis_y(y_scale, LEFT, title, 4)]
    if trend is not None and days:
        parts.append(_trend(trend, x_scale(days[0]), x_scale(days[-1]), y_scale))
    run: list[tuple[float, float]] = []
    for index, one in enumerate(sessions):
        x = x_scale(days[index])
        if index and days[index] - days[index - 1] > BREAK_DAYS:
            parts.append(line(x - 9, TOP, x - 9, BOTTOM, "reference"))
            parts.append(path(run, "link"))
            run = []
        parts.append(_bar(one, x, y_scale))
        if one.value is not None:
            run.append((x, y_scale(one.value)))
    parts.append(path(run, "link"))
    parts.extend(
        dot(x_scale(d), y_scale(one.value))
        for d, one in zip(days, sessions, strict=True)
        if one.value is not None
    )
    parts.append(_dates(sessions, x_scale))
    return drawing(WIDTH, HEIGHT, summary, *parts)


def _bar(one: Session, x: float, y_scale: Scale) -> str:
    if one.low is None or one.high is None:
        return ""
    return box(x - 4, x + 4, y_scale(one.low), y_scale(one.high), "band-mean")


def _trend(trend: Trend, x_first: float, x_last: float, y_scale: Scale) -> str:
    (value_a, low_a, high_a), (value_b, low_b, high_b) = trend.first, trend.last
    corners = [(x_first, high_a), (x_last, high_b), (x_last, low_b), (x_first, low_a)]
    shade = area([(x, y_scale(y)) for x, y in corners], "band-one")
    return shade + line(x_first, y_scale(value_a), x_last, y_scale(value_b), "centre")


def _dates(sessions: Sequence[Session], x_scale: Scale) -> str:
    """Dates under the axis, as many as fit; every mark word stays."""
    parts = [line(LEFT, BOTTOM, RIGHT, BOTTOM, "axis")]
    free = -1e9
    for one in sessions:
        x = x_scale(one.day.toordinal())
        if x - free >= 40:
            parts.append(text(x, BOTTOM + 16, one.label))
            free = x
        if one.mark:
            parts.append(text(x, BOTTOM + 30, one.mark, "mark"))
    return "".join(parts)
