"""SVG elements as text: every attribute quoted, every text escaped, numbers kept short."""

from collections.abc import Iterable
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

Attribute = str | float


@dataclass(frozen=True)
class Figure:
    """A chart with what a reader without it needs: a title, one sentence, and its table.

    Attributes:
        name: stable name of the chart, used in addresses of downloads.
        title: what is shown.
        summary: what it says, in one sentence; the chart's text alternative.
        svg: the drawing.
        header: names of the table's columns.
        rows: the same facts as the drawing.
    """

    name: str
    title: str
    summary: str
    svg: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def number(value: float) -> str:
    """A coordinate with at most one decimal."""
    text = f"{value:.1f}"
    return text.removesuffix(".0")


def tag(name: str, *children: str, **attributes: Attribute) -> str:
    """One element; `class_` becomes class and underscores become hyphens."""
    parts = [name]
    for key, value in attributes.items():
        text = value if isinstance(value, str) else number(value)
        parts.append(f"{key.rstrip('_').replace('_', '-')}={quoteattr(text)}")
    head = " ".join(parts)
    return f"<{head}>{''.join(children)}</{name}>" if children else f"<{head}/>"


def text(x: float, y: float, words: str, class_: str = "label", anchor: str = "middle") -> str:
    """Words at a place; long words are never cut here, the caller chooses the room."""
    return tag("text", escape(words), x=x, y=y, class_=class_, text_anchor=anchor)


def line(x1: float, y1: float, x2: float, y2: float, class_: str) -> str:
    """A straight line."""
    return tag("line", x1=x1, y1=y1, x2=x2, y2=y2, class_=class_)


def area(points: Iterable[tuple[float, float]], class_: str) -> str:
    """A closed shape."""
    return tag("polygon", points=_places(points), class_=class_)


def path(points: Iterable[tuple[float, float]], class_: str) -> str:
    """An open line through points."""
    return tag("polyline", points=_places(points), class_=class_)


def box(x1: float, x2: float, y1: float, y2: float, class_: str) -> str:
    """A rectangle between two corners given in any order."""
    left, right = sorted((x1, x2))
    top, bottom = sorted((y1, y2))
    width, height = right - left, bottom - top
    return tag("rect", x=left, y=top, width=width, height=height, class_=class_)


def dot(x: float, y: float, class_: str = "dot", radius: float = 4) -> str:
    """A round point: a shot that counts."""
    return tag("circle", cx=x, cy=y, r=radius, class_=class_)


def cross(x: float, y: float, class_: str = "cross", reach: float = 4) -> str:
    """A cross: a mishit; told from a dot by shape, not by colour."""
    lines = f"M{number(x - reach)} {number(y - reach)}l{number(2 * reach)} {number(2 * reach)}"
    lines += f"M{number(x - reach)} {number(y + reach)}l{number(2 * reach)} {number(-2 * reach)}"
    return tag("path", d=lines, class_=class_)


def drawing(width: float, height: float, summary: str, *children: str) -> str:
    """The whole drawing; its text alternative is the summary."""
    return tag(
        "svg",
        *children,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(width)} {number(height)}",
        class_="plot",
        role="img",
        aria_label=summary,
    )


def _places(points: Iterable[tuple[float, float]]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)
