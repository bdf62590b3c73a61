"""The quick test that nearly every row of a table passes: nothing in it hints at structure.

It exists once for a row of cells and once for the first bytes of many rows, and the second never
passes a row that the first would not.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from ingest.column_profile import LABEL_CELLS, ColumnProfile
from ingest.head import Head
from ingest.structure_words import summary_strength

_SIGNS = "#-=*_+~<>/%"
_DIGITS = np.zeros(256, dtype=bool)
_DIGITS[list(b"0123456789")] = True
_LETTERS = np.zeros(256, dtype=bool)
_LETTERS[[*range(65, 91), *range(97, 123), *range(128, 256)]] = True
_SIGN_BYTES = np.zeros(256, dtype=bool)
_SIGN_BYTES[list(_SIGNS.encode())] = True
_BLANK = np.zeros(256, dtype=bool)
_BLANK[list(b",;\t|^: \r\n")] = True

Bytes = npt.NDArray[np.uint8]
Rows = npt.NDArray[np.bool_]


class PlainRows:
    """Knows one table; rows asked about must have its width."""

    def __init__(self, head: Head, profile: ColumnProfile) -> None:
        named = [*head.header_cells, *([head.units] if head.units else [])]
        self._names = {folded_cell(cells[0]) for cells in named if cells}
        self._few = max(2, profile.width // 3)
        self.lone = 1 if profile.width > 3 else 0
        self._first_always = 0 in profile.always
        self.probe = profile.probe
        self.label_columns = range(min(LABEL_CELLS, profile.width))

    def is_plain(self, cells: Sequence[str]) -> bool:
        """Whether the row can only be a record."""
        first = cells[0]
        if not first[:1].isdigit():
            if self._first_always and not first.strip():
                return False
            if len(cells) - cells.count("") <= self._few or first[:1] in _SIGNS:
                return self._is_signed_number(cells)
            if not self.is_plain_text(first, 0):
                return False
        elif len(cells) - cells.count("") <= self.lone:
            return False
        for column in self.label_columns[1:]:
            if not self.is_plain_text(cells[column], column):
                return False
        return not (self.probe >= 0 and cells[self.probe][:1].isalpha())

    def _is_signed_number(self, cells: Sequence[str]) -> bool:
        """A row that begins with a negative number and is full is plain after all."""
        first = cells[0]
        signed = first[:1] in {"-", "+"} and first[1:2].isdigit()
        if not signed or len(cells) - cells.count("") <= self._few:
            return False
        return self.is_plain(["0", *cells[1:]])

    def is_plain_text(self, cell: str, column: int) -> bool:
        """Whether this cell neither labels a summary nor repeats the header."""
        if cell[:1].isdigit() or not cell:
            return True
        if summary_strength(cell):
            return False
        return column > 0 or folded_cell(cell) not in self._names

    def doubtful(self, first: Bytes, n_filled: npt.NDArray[np.int64]) -> Rows:
        """Rows that the first byte of their first cell or their few filled cells put in doubt."""
        odd = _SIGN_BYTES[first] | (n_filled <= self._few)
        if self._first_always:
            odd |= _BLANK[first]
        return ~_DIGITS[first] & odd

    @staticmethod
    def wordy(first: Bytes) -> Rows:
        """Rows whose cell does not begin with a digit, given the first bytes of the cells."""
        return ~_DIGITS[first]

    @staticmethod
    def lettered(first: Bytes) -> Rows:
        """Rows whose cell may begin with a letter."""
        return _LETTERS[first]


def folded_cell(cell: str) -> str:
    """The cell in lower case with single spaces, for comparison."""
    return " ".join(cell.casefold().split())
