"""Which row is the header.

Rules:
- A row scores by its words, its width, and rows with numbers or times soon after it.
- Of rows with no data between them the first wins, unless a later one is clearly better, or the
  first only names groups (with gaps or repeats) of the names in the row right under it.
- A file may hold a small table before the one that matters (of the session, or of averages): of
  several headers the one with more data under it wins, unless its words say otherwise.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from ingest.cell_shapes import MISSING, is_measured, shape_of
from ingest.records import Row
from ingest.sheet import HeaderFit
from ingest.structure_words import is_types_row, is_units_row

_LEAST_SCORE = 0.45
_LEAST_FIT = 0.3
_CLEARLY_BETTER = 0.1
_DATA_SHARE = 0.4
_ENOUGH_DATA = 10
_DATA_BONUS = 0.3


@dataclass(slots=True)
class _Block:
    """A possible header and how many rows of data stand under it."""

    at: int
    score: float
    names: tuple[str, ...]
    n_data: int = 0

    @property
    def total(self) -> float:
        return self.score + _DATA_BONUS * min(self.n_data, _ENOUGH_DATA) / _ENOUGH_DATA


def find_header(rows: Sequence[Row], width: int, fit: HeaderFit) -> int | None:
    """The index of the header row, None when no row fits; `width` cells are the commonest."""
    blocks: list[_Block] = []
    current: _Block | None = None
    for at, row in enumerate(rows):
        if looks_like_data(row.cells, width):
            if current:
                current.n_data += 1
                if current.n_data > _ENOUGH_DATA:
                    break
            continue
        score = _header_score(rows, at, width, fit)
        if score < _LEAST_SCORE or (current and _is_spoiled_data(row.cells, current)):
            continue
        names = tuple(cell.strip().casefold() for cell in row.cells)
        current = _joined(blocks, current, _Block(at, score, names))
    best = max(blocks, key=lambda block: (block.total, -block.at), default=None)
    return best.at if best else None


def _is_spoiled_data(cells: Sequence[str], over: _Block) -> bool:
    """Whether it has numbers and the width of a header whose data has begun: one of its rows."""
    as_wide = abs(len(cells) - len(over.names)) <= 1
    return bool(over.n_data) and as_wide and any(map(is_measured, cells))


def _joined(blocks: list[_Block], current: _Block | None, found: _Block) -> _Block:
    """The block that a possible header opens, continues or takes over."""
    again = next((block for block in blocks if block.names == found.names), None)
    if again:
        return again
    if current and not current.n_data:
        if found.score > current.score + _CLEARLY_BETTER or _names_groups_of(current, found):
            current.at, current.score, current.names = found.at, found.score, found.names
        return current
    blocks.append(found)
    return found


def _names_groups_of(over: _Block, under: _Block) -> bool:
    """Whether a row of few different words stands right over a row of more of them."""
    groups, names = set(filter(None, over.names)), set(filter(None, under.names))
    apart = len(groups) < 0.75 * len(names) and len(groups) < len(over.names)
    return apart and under.at == over.at + 1 and under.score > over.score - _CLEARLY_BETTER


def looks_like_data(cells: Sequence[str], width: int) -> bool:
    """Whether enough of the filled cells are numbers or times, and enough cells are filled."""
    filled = measured = 0
    for cell in cells:
        if shape_of(cell) != MISSING:
            filled += 1
            measured += is_measured(cell)
    enough = filled >= max(2, width // 2) if width > 1 else filled == 1
    return enough and measured >= _DATA_SHARE * filled


def is_banner(cells: Sequence[str]) -> bool:
    """A rule across the page: cells of nothing but three or more signs each."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    if not filled:
        return False
    return all(
        len(cell) >= 3 and not any(char.isalnum() or char in '"\x00' for char in cell)
        for cell in filled
    )


def _header_score(rows: Sequence[Row], at: int, width: int, fit: HeaderFit) -> float:
    cells = [cell.strip() for cell in rows[at].cells]
    filled = sum(1 for cell in cells if cell)
    if filled < min(2, width) or rows[at].fault:
        return 0.0
    fits = fit(cells)
    if fits < _LEAST_FIT or is_units_row(cells) or is_types_row(cells):
        return 0.0
    soon = [row.cells for row in rows[at + 1 : at + 9] if any(map(str.strip, row.cells))][:5]
    followed = any(looks_like_data(later, width) and len(later) > 1 for later in soon)
    if width == 1:
        followed = any(is_measured(later[0]) for later in soon)
    near = {0: 1.0, 1: 0.9}.get(abs(len(cells) - width), 0.6)
    return (0.5 * fits + 0.3 * followed + 0.2) * near
