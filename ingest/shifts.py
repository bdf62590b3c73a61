"""Whether the cells of a row that ends in surplus empty ones may stand under the wrong names.

A delimiter too many within a row moves the cells after it by one. Where the last column is often
empty nothing but an empty cell hangs over the end then, as if a delimiter had been added there.
"""

from collections.abc import Sequence

from ingest.column_profile import ColumnProfile


def may_have_shifted(cells: Sequence[str], profile: ColumnProfile) -> bool:
    """Whether taking the surplus for an addition at the end is not the only sound reading.

    Args: cells: with nothing filled beyond the width of the table.
    """
    n = len(cells) - profile.width
    if n <= 0:
        return False
    as_it_stands = list(cells[: profile.width])
    if not _fits(as_it_stands, profile):
        return True
    if profile.width - 1 in profile.always:
        return False
    shifted = ([*cells[: at + 1], *cells[at + 1 + n :]] for at in range(profile.width - 1))
    return any(row != as_it_stands and _fits(row, profile) for row in shifted)


def lacks_an_end(cells: Sequence[str], profile: ColumnProfile) -> bool:
    """Whether a delimiter is missing in a row of a table whose rows all end in surplus ones.

    Where it is missing within the row, the cells after it have moved and the last one is empty.
    """
    n = len(cells) - profile.width
    return 0 <= n < profile.surplus and not cells[-1].strip()


def _fits(cells: Sequence[str], profile: ColumnProfile) -> bool:
    """Whether the row fills what all rows fill, nothing that none fills, and suits the columns."""
    filled = {i for i, cell in enumerate(cells) if cell.strip()}
    return profile.always <= filled and filled.isdisjoint(profile.never) and profile.suits(cells)
