"""First rows that are cut otherwise than the table: a stray quote, or another delimiter.

A row of names that is not read costs every row its names, so the rows over the data are given a
second look. They stay as they are unless exactly one reading gives the width of the table.
"""

from collections.abc import Sequence

from ingest.cell_scanner import Cutting
from ingest.cell_shapes import is_label
from ingest.header_search import looks_like_data
from ingest.physical_lines import Lines
from ingest.records import Row, cut_line, cut_with_a_stray_quote

_OTHER_DELIMITERS = (",", ";", "\t", "|")
_NEAREST = 12


def with_head_mended(
    rows: Sequence[Row], lines: Lines, cutting: Cutting, width: int
) -> Sequence[Row]:
    """The rows, those over the first row of data cut anew where that gives the expected width."""
    if width < 3:
        return rows
    first = next((i for i, row in enumerate(rows) if _is_data(row, width)), 1)
    start = max(0, first - _NEAREST)
    if all(len(row.cells) == width and not row.fault for row in rows[start:first]):
        return rows
    over = [_mended(row, lines.texts[row.line - 1], cutting, width) for row in rows[start:first]]
    return [*rows[:start], *over, *rows[first:]]


def _is_data(row: Row, width: int) -> bool:
    return len(row.cells) == width and looks_like_data(row.cells, width)


def _mended(row: Row, text: str, cutting: Cutting, width: int) -> Row:
    if (len(row.cells) == width and not row.fault) or row.n_lines > 1:
        return row
    cells = cut_with_a_stray_quote(text, cutting, width) or _by_another(text, cutting, width)
    return Row(row.line, 1, cells, bent=True) if cells else row


def _by_another(text: str, cutting: Cutting, width: int) -> list[str] | None:
    """Names, all different, when exactly one other delimiter gives as many as the table has."""
    others = [d for d in _OTHER_DELIMITERS if d != cutting.delimiter and d in text]
    cut = [cut_line(text, Cutting(d, cutting.quote)) for d in others]
    found = [cells for cells in cut if len(cells) == width and _are_names(cells)]
    return found[0] if len(found) == 1 else None


def _are_names(cells: Sequence[str]) -> bool:
    return all(map(is_label, cells)) and len({cell.strip().casefold() for cell in cells}) == len(
        cells
    )
