"""Scales and axes: from a number to a place, and round numbers along the way."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor, isnan, log10

from api.plots.svg import line, text


@dataclass(frozen=True)
class Scale:
    """A straight map from `low … high` to `start … end`."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        """Where `value` stands; outside values are held just beyond the edge."""
        span = self.high - self.low
        share = (value - self.low) / span if span else 0.5
        return self.start + min(1.03, max(-0.03, share)) * (self.end - self.start)

    def ticks(self, about: int = 5) -> list[float]:
        """Round numbers within the scale, about as many as asked for."""
        step = round_step((self.high - self.low) / max(about, 1))
        first, last = ceil(self.low / step - 1e-9), floor(self.high / step + 1e-9)
        return [round(index * step, 10) for index in range(first, last + 1)]


def round_step(rough: float) -> float:
    """The smallest of 1, 2, 5 × 10ⁿ that is at least `rough`."""
    if rough <= 0:
        return 1.0
    size = 10.0 ** floor(log10(rough))
    return next(factor * size for factor in (1, 2, 5, 10) if factor * size >= rough * (1 - 1e-9))


def covering(values: Iterable[float], start: float, end: float, room: float = 0.06) -> Scale:
    """A scale over all values with a little room; one value, or none, still gives a scale."""
    known = [value for value in values if not isnan(value)]
    low, high = (min(known), max(known)) if known else (0.0, 1.0)
    pad = (high - low) * room or max(1.0, abs(high) * 0.1)
    return Scale(low - pad, high + pad, start, end)


def tick_text(value: float) -> str:
    """A tick's number without needless zeros."""
    return f"{value:.6g}".replace("-", "−")


def axis_x(scale: Scale, y: float, title: str, about: int = 5) -> str:
    """A horizontal axis below the drawing, its title at the right end."""
    marks = [
        line(scale(value), y, scale(value), y + 4, "axis")
        + text(scale(value), y + 16, tick_text(value))
        for value in scale.ticks(about)
    ]
    title_text = text(scale.end, y + 31, title, "axis-title", "end")
    return line(scale.start, y, scale.end, y, "axis") + "".join(marks) + title_text


def axis_y(scale: Scale, x: float, title: str, about: int = 5) -> str:
    """A vertical axis on the left with faint lines to `x_end`, its title on top."""
    marks = [
        line(x - 4, scale(value), x, scale(value), "axis")
        + text(x - 7, scale(value) + 4, tick_text(value), anchor="end")
        for value in scale.ticks(about)
    ]
    title_text = text(max(2, x - 34), min(scale.start, scale.end) - 9, title, "axis-title", "start")
    return line(x, scale.start, x, scale.end, "axis") + "".join(marks) + title_text
