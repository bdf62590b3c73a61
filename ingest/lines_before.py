"""The lines over a table: title, pairs, rules, a small table of the session, and stray data."""

import re
from collections.abc import Sequence

from ingest.cell_shapes import is_label
from ingest.head import Head
from ingest.header_search import is_banner, looks_like_data
from ingest.key_values import key_values
from ingest.records import Row
from ingest.row_faults import fault_of
from ingest.sheet import RowFault, Structure
from ingest.structure_words import summary_strength

_HINT = re.compile(r"\W{0,2}sep=(?P<sep>.?)\W?", re.IGNORECASE)


def separator_hint(text: str) -> str | None:
    """The delimiter that a first line `sep=;` names."""
    match = _HINT.fullmatch(text.rstrip())
    return (match["sep"] or "\t") if match else None


class Before:
    """Takes the lines up to the body, in order, and sorts them.

    `width` is the commonest width of the file, `head` what was found as the head of its table.
    """

    def __init__(self, width: int, head: Head) -> None:
        self._width, self._head = width, head
        self._labels: list[str] = []  # of a small table that we are in
        self._of_summaries = self._in_table = False
        self.structure: list[Structure] = []
        self.faults: list[RowFault] = []
        self.metadata: dict[str, str] = {}

    def add(self, row: Row, raw: str, following: Row | None) -> None:
        """Sort one row, knowing the one after it."""
        kind = self._head.lines.get(row.line) or self._kind(row, raw, following)
        if kind in {"before_header", "other_table"}:
            place = (row.line, row.n_lines)
            self.faults.append(fault_of(kind, place, row.cells, raw, self._head.width))
            return
        self.structure.append(Structure(row.line, kind, row.n_lines, raw.strip()))
        if kind in {"preamble", "comment"}:
            add_pairs(self.metadata, row.cells, raw)

    def _kind(self, row: Row, raw: str, following: Row | None) -> str:
        cells = [cell.strip() for cell in row.cells]
        if not any(cells):
            self._labels = []
            return "padding" if raw and not raw.strip("\x00\x1a ") else "blank"
        if row.line == 1 and separator_hint(raw) is not None:
            return "separator_hint"
        if is_banner(cells) or is_banner([raw]):
            return "banner"
        if raw.lstrip().startswith(("#", "//")):
            return "comment"
        if self._is_data(cells):
            more = following is not None and self._is_data(following.cells)
            return self._kind_of_data(cells, more)
        filled = [cell for cell in cells if cell]
        self._of_summaries = any(map(summary_strength, filled))
        labels = len(filled) > 2 and all(map(is_label, filled))
        self._labels = cells if labels else []
        return "preamble"

    def _is_data(self, cells: Sequence[str]) -> bool:
        n_filled = sum(1 for cell in cells if cell.strip())
        paired = 2 * len(key_values(cells)) >= n_filled
        return n_filled > 1 and not paired and looks_like_data(cells, min(self._width, n_filled))

    def _kind_of_data(self, cells: list[str], more: bool) -> str:
        """The only row of a small table says something about the session; others are lost."""
        of_summaries = self._of_summaries or any(map(summary_strength, filter(None, cells[:3])))
        if of_summaries:
            return "summary"
        if len(self._labels) != len(cells):
            return "before_header"
        if more or self._in_table:
            self._in_table = more
            return "other_table"
        for label, cell in zip(self._labels, cells, strict=True):
            self.metadata.setdefault(label, cell)
        return "preamble"


def add_pairs(metadata: dict[str, str], cells: Sequence[str], raw: str) -> None:
    """Add the pairs in a line to those found before, which win."""
    for key, value in key_values(cells) or key_values([raw]):
        metadata.setdefault(key.strip(), value.strip())
