"""Why a row's shape is not sound, in words, and what to do about it."""

from collections.abc import Sequence

from ingest.sheet import RowFault

_FAULTS = {
    "too_few_cells": (
        "the row has {n} cells where the header has {width}",
        "add what is missing (an empty cell keeps its delimiter) and import the row again",
    ),
    "lacks_an_end": (
        "the row has {n} cells where the other rows have {width}",
        "add what is missing (an empty cell keeps its delimiter) and import the row again",
    ),
    "too_many_cells": (
        "the row has {n} cells where the header has {width}",
        "put quotes around the cell that holds a delimiter, or remove the surplus cell",
    ),
    "truncated_line": (
        "the file ends inside this row: {n} of {width} cells are there",
        "export the file again, or complete the row",
    ),
    "truncated_cell": (
        "the file ends inside the last cell of this row, which is longer in the rows before",
        "export the file again, or complete the cell and end the line",
    ),
    "unclosed_quote": (
        "a quoted cell begins in this row and does not end",
        "close the quote, or double it where it is part of the text",
    ),
    "stray_quote": (
        "a quote inside a quoted cell is not doubled, and the cells cannot be told apart",
        "double the quote where it is part of the text",
    ),
    "nul_byte": (
        "the row holds NUL characters, as a damaged file does",
        "export the file again, or type the row anew",
    ),
    "undecodable": (
        "some bytes of the row are no characters in the encoding of the file",
        "save the file in one encoding (UTF-8) and import it again",
    ),
    "other_table": (
        "the row belongs to a second table with another header",
        "save that table as a file of its own and import it",
    ),
    "before_header": (
        "the row stands before the header",
        "move the header to the top of the table and import again",
    ),
}


def fault_of(
    code: str, place: tuple[int, int], cells: Sequence[str], raw: str, width: int
) -> RowFault:
    """The fault with its reason filled in; `place` is the first line and how many there are."""
    reason, mend = _FAULTS[code]
    reason = reason.format(n=len(cells), width=width)
    return RowFault(place[0], code, reason, mend, raw, tuple(cells[: width + 20]), place[1])
