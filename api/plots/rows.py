"""Named values with intervals, one row each: a carry ladder, stations, shares."""

from collections.abc import Sequence
from dataclasses import dataclass

from api.plots.scale import axis_x, covering
from api.plots.svg import box, drawing, line, text

WIDTH = 360.0
LEFT, RIGHT = 14.0, 346.0
STEP = 36.0


@dataclass(frozen=True)
class Row:
    """One named value: the interval of the mean and, if known, that of one shot."""

    name: str
    value: float | None
    low: float | None
    high: float | None
    one_low: float | None = None
    one_high: float | None = None
    note: str = ""


def rows_svg(rows: Sequence[Row], title: str, summary: str, reference: float | None = None) -> str:
    """The rows under each other on one scale; `reference` is drawn as a dashed line."""
    known = [
        value
        for row in rows
        for value in (row.value, row.low, row.high, row.one_low, row.one_high, reference)
        if value is not None
    ]
    scale = covering(known, LEFT, RIGHT)
    bottom = 8 + STEP * max(1, len(rows))
    parts = []
    if reference is not None:
        parts.append(line(scale(reference), 4, scale(reference), bottom, "reference"))
    for index, row in enumerate(rows):
        y = 26 + STEP * index
        if row.one_low is not None and row.one_high is not None:
            parts.append(box(scale(row.one_low), scale(row.one_high), y - 5, y + 5, "band-one"))
        if row.low is not None and row.high is not None:
            parts.append(box(scale(row.low), scale(row.high), y - 5, y + 5, "band-mean"))
        if row.value is not None:
            parts.append(line(scale(row.value), y - 8, scale(row.value), y + 8, "centre"))
        parts.append(text(LEFT, y - 10, row.name, "row-name", "start"))
        parts.append(text(RIGHT, y - 10, row.note, "row-note", "end"))
    parts.append(axis_x(scale, bottom, title))
    return drawing(WIDTH, bottom + 38, summary, *parts)
