"""Lines around a table that say something about it: "Player: Kim", "Date;2026-05-01", "# z=UTC"."""

import re
from collections.abc import Sequence

from ingest.cell_shapes import is_measured

_PAIR = re.compile(
    r"\s*[#*/%;!]*\s*(?P<key>[^\W\d_][^:=：]{0,39}?)\s*(?:[:：](?!//)|=)\s*(?P<value>.*)"
)
_KEY = re.compile(r"\s*[#*/%]*\s*(?P<key>[^\W\d_][^:=]{0,39}?)\s*[:=：]?\s*$", re.DOTALL)


def key_values(cells: Sequence[str]) -> list[tuple[str, str]]:
    """The pairs in the cells of one line; empty when it is no such line.

    A pair stands in one cell ("Player: Kim") or in two ("Player", "Kim"); a line may hold several.
    """
    filled = [cell.strip().strip('"').strip() for cell in cells]
    while filled and not filled[-1]:
        filled.pop()
    filled = filled if filled and filled[0] else [cell for cell in filled if cell]
    if len(filled) > 2 and _alternate(filled):
        keys = [cell.rstrip(" :=：") for cell in filled[::2]]
        return list(zip(keys, filled[1::2], strict=True))
    pairs: list[tuple[str, str]] = []
    at = 0
    while at < len(filled):
        pair, at = _pair_at(filled, at)
        if pair:
            pairs.append(pair)
    return pairs


def _alternate(cells: list[str]) -> bool:
    """Key, value, key, value …: an even number of cells, labels first, one value at least not."""
    if len(cells) % 2 or not all(map(_KEY.fullmatch, cells[::2])):
        return False
    return all(cells) and any(map(is_measured, cells[1::2]))


def _pair_at(cells: list[str], at: int) -> tuple[tuple[str, str] | None, int]:
    cell = cells[at]
    match = _PAIR.fullmatch(cell)
    if match and match["value"]:
        return (match["key"], match["value"]), at + 1
    key = _KEY.fullmatch(cell)
    following = cells[at + 1] if at + 1 < len(cells) else ""
    marked = cell.endswith((":", "=", "："))
    if key and following and (marked or _stands_as_pair(cells, at)):
        return (key["key"], following), at + 2
    return None, at + 1


def _stands_as_pair(cells: list[str], at: int) -> bool:
    """Two cells with a gap or an edge on either side: then the first names the second."""
    return (at == 0 or not cells[at - 1]) and (at + 2 >= len(cells) or not cells[at + 2])
