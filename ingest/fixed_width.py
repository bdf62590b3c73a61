"""Rows of a table set in columns by spaces, where an empty cell leaves no trace but its place."""

import re

_TOKEN = re.compile(r"\S+(?: \S+)*")


def cells_under(header: str, text: str) -> list[str] | None:
    """The cells of `text`, each under the one name of the header line that it overlaps.

    None when a cell overlaps no name or several, or two cells overlap one: then it is not proved
    which cell is missing.
    """
    spans = [match.span() for match in _TOKEN.finditer(header)]
    cells = [""] * len(spans)
    for token in _TOKEN.finditer(text):
        under = [
            column
            for column, (start, end) in enumerate(spans)
            if token.start() < end and start < token.end()
        ]
        if len(under) != 1 or cells[under[0]]:
            return None
        cells[under[0]] = token.group()
    return cells
