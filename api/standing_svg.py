"""Drawings that stand alone: the classes of `api/plots` get their style inside the file.

On a page one style sheet colours the drawings; a file or a printed sheet has none. Greys and
shapes only, so that it prints anywhere and nobody needs to tell colours apart.
"""

STYLE = """
.plot text{font-family:Liberation Sans,DejaVu Sans,Arial,sans-serif;font-size:12px;fill:#222}
.axis,.ring{stroke:#999;stroke-width:1;fill:none}
.label,.row-note{font-size:11px}
.axis-title,.tick-name,.row-name{font-weight:bold}
.low-side{fill:#e4e4e4}
.near{fill:none;stroke:#222;stroke-width:1.5;stroke-dasharray:6 4}
.fall-line,.line-of-play,.centre{stroke:#222;stroke-width:1.5}
.aim{stroke:#222;stroke-width:1.2;stroke-dasharray:2 3}
.arrow,.hole,.dot,.shot-dot{fill:#222}
.cross,.wet{fill:none;stroke:#222;stroke-width:1.4}
.window,.green{fill:#e4e4e4;stroke:#999}
.whisker,.band-one{fill:#ccc}
.band-mean{fill:#888}
.rehearsal-tick{stroke:#222;stroke-width:3}
.land{fill:none;stroke:#666;stroke-width:1}
.rest{fill:#222;fill-opacity:.55}
.target{fill:#fff;stroke:#222;stroke-width:2}
"""


def standing(svg: str) -> str:
    """`svg` (as `api.plots.svg.drawing` writes it) with its style inside."""
    head, close, rest = svg.partition(">")
    return f"{head}{close}<style>{STYLE}</style>{rest}\n"
