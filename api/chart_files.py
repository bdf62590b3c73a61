"""One chart as a file of its own: SVG with its colours inside, PNG and PDF by typesetting it."""

import tempfile
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Literal
from xml.sax.saxutils import escape

import typst

from api.plots.svg import Figure

Kind = Literal["svg", "png", "pdf"]
MEDIA: dict[Kind, str] = {"svg": "image/svg+xml", "png": "image/png", "pdf": "application/pdf"}
PIXELS_PER_INCH = 200.0


@cache
def _style() -> str:
    return resources.files("api").joinpath("plots", "print.css").read_text("utf-8")


def as_svg(figure: Figure) -> bytes:
    """The drawing with its colours, readable by any program."""
    opening, rest = figure.svg.split(">", 1)
    head = f"<title>{escape(figure.title)}</title><desc>{escape(figure.summary)}</desc>"
    return f"{opening}>{head}<style>{_style()}</style>{rest}".encode()


def as_file(figure: Figure, kind: Kind) -> bytes:
    """The chart with its title and sentence; `kind` is svg, png or pdf."""
    drawn = as_svg(figure)
    return drawn if kind == "svg" else _typeset(figure, drawn, kind)


def _typeset(figure: Figure, drawn: bytes, kind: Literal["png", "pdf"]) -> bytes:
    """A page as large as the chart, words typeset as plain text and never as markup."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        place.joinpath("chart.svg").write_bytes(drawn)
        place.joinpath("main.typ").write_text(
            "#set page(width: 13cm, height: auto, margin: 6mm)\n#set text(size: 9pt, font: ("
            '"Libertinus Serif",))\n#text(weight: "bold", size: 11pt, sys.inputs.title)\n\n'
            '#image("chart.svg", width: 100%)\n\n#sys.inputs.summary\n',
            "utf-8",
        )
        words = {"title": figure.title, "summary": figure.summary}
        return typst.compile(place / "main.typ", format=kind, ppi=PIXELS_PER_INCH, sys_inputs=words)
