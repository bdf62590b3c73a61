"""Whether the cells of a row may stand under the wrong names for a delimiter too many or too few.

A delimiter too many within a row moves the cells after it by one. Where the last column is often
empty nothing but an empty cell hangs over the end then, as if a delimiter had been added there.
"""

from collections.abc import Sequence

from ingest.cell_shapes import MISSING, is_measured, shape_of
from ingest.column_profile import ColumnProfile

_MOST_JOINED = 3


def may_have_shifted(cells: Sequence[str], profile: ColumnProfile, delimiter: str) -> bool:
    """Whether taking the surplus for an addition at the end is not the only sound reading.

    Args: cells: with nothing filled beyond the width of the table.
    """
    width, n = profile.width, len(cells) - profile.width
    if n <= 0:
        return False
    if not all(_fits(cells[i], i, profile) for i in range(width)):
        return True
    start = width
    while start > 1 and _fits(cells[start - 1 + n], start - 1, profile):
        start -= 1
    moved = max((i for i in range(start, width) if cells[i] != cells[i + n]), default=0)
    return any(
        _may_hold(cells[at : at + n + 1], at, profile, delimiter) for at in range(start - 1, moved)
    )


def _may_hold(parts: Sequence[str], column: int, profile: ColumnProfile, delimiter: str) -> bool:
    """Whether these cells may have been one, by empty ones put in or by delimiters within it."""
    if not any(map(str.strip, parts[1:])):
        return True
    return len(parts) <= _MOST_JOINED and _fits(delimiter.join(parts), column, profile)


def lacks_an_end(cells: Sequence[str], profile: ColumnProfile) -> bool:
    """Whether a delimiter is missing in a row of a table whose rows all end in surplus ones.

    Where it is missing within the row, the cells after it have moved and the last one is empty.
    """
    n = len(cells) - profile.width
    return 0 <= n < profile.surplus and not cells[-1].strip()


def _fits(cell: str, column: int, profile: ColumnProfile) -> bool:
    """Whether the cell fills what all rows fill, nothing that none fills, and suits its column."""
    if not cell.strip():
        return column not in profile.always
    if column in profile.never:
        return False
    return column not in profile.measured or is_measured(cell) or shape_of(cell) == MISSING
