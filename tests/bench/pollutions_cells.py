"""A third set of spoiled files: one small mistake in every place of a table, a place at a time.

Kinds, after the row-level pollutions of Vitagliano et al., "Pollock: A Data Loading Benchmark",
PVLDB 16(8), 2023: in each row and column a delimiter too many, one missing, or a quote too many;
each row in turn with another delimiter, or cut off. The table is our own: its last column is often
empty, so that a row that moved by a cell ends as a sound one does.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tests.bench.pollutions_general import ROWS, written

HEADER = ["id", "name", "city", "amount", "date", "active", "note"]
_NOTES = ["", "early", "", "", "late, twice", '5" wide', "", "", "", "gift", "", ""]
TABLE = [[*row, note] for row, note in zip(ROWS * 2, _NOTES, strict=True)]


@dataclass(frozen=True)
class Spoiled:
    """A file with one mistake in the row of this physical line (1 is the header)."""

    place: str
    line: int
    data: bytes


Change = Callable[[list[str], int], list[str]]


def _delimiter_too_many(cells: list[str], at: int) -> list[str]:
    return [*cells[:at], "", *cells[at:]]


def _delimiter_missing(cells: list[str], at: int) -> list[str]:
    return [*cells[: at - 1], cells[at - 1] + cells[at], *cells[at + 1 :]] if at else cells


def _quote_too_many(cells: list[str], at: int) -> list[str]:
    cell = cells[at]
    spoiled = f'""{cell[1:]}' if cell.startswith('"') else f'"{cell}'
    return [*cells[:at], spoiled, *cells[at + 1 :]]


def _quote_at_end(cells: list[str], at: int) -> list[str]:
    return [*cells[:at], f'{cells[at]}"', *cells[at + 1 :]]


def _cut_off(cells: list[str], at: int) -> list[str]:
    return cells[:at] if at else cells


def _spaces_between(cells: list[str], at: int) -> list[str]:
    return cells if at else [" ".join(cells)]


def _semicolons_between(cells: list[str], at: int) -> list[str]:
    return cells if at else [";".join(cells)]


CHANGES: dict[str, Change] = {
    "delimiter too many": _delimiter_too_many,
    "delimiter missing": _delimiter_missing,
    "quote too many": _quote_too_many,
    "quote at the end": _quote_at_end,
    "cut off": _cut_off,
    "spaces between": _spaces_between,
    "semicolons between": _semicolons_between,
}


def spoiled_rows(change: Change, end: str) -> Iterator[Spoiled]:
    """The table with one row spoiled, for each row of data and each column."""
    for line in range(2, len(TABLE) + 2):
        yield from spoiled_line(change, end, line)


def spoiled_line(change: Change, end: str, line: int) -> Iterator[Spoiled]:
    """The table with this line spoiled in each column; every line ends in `end`."""
    table = [[_as_written(cell) for cell in row] for row in [HEADER, *TABLE]]
    for column in range(len(HEADER)):
        changed = change(table[line - 1], column)
        if changed == table[line - 1]:
            continue
        lines = [*table[: line - 1], changed, *table[line:]]
        text = "".join(f"{','.join(cells)}{end}\n" for cells in lines)
        yield Spoiled(f"line {line}, column {column + 1}", line, text.encode())


def _as_written(cell: str) -> str:
    return written([[cell]]).removesuffix("\n")
