"""Proof, over raw bytes, that a piece of a file is regular: every line one row of so many cells.

What is proved can be handed to a columnar reader without a second look; what is not goes the
careful way. The proof is by positions: all delimiters and line ends outside quotes, in order, must
form rows of equal length that end in a line end and nowhere else.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Positions = npt.NDArray[np.int64]
_LF, _CR, _QUOTE = 10, 13, 34


@dataclass(frozen=True, slots=True)
class RegularPiece:
    """A proven piece: `cuts[i, j]` is where cell j of row i ends (delimiter or LF)."""

    data: bytes
    codes: npt.NDArray[np.uint8]
    cuts: Positions
    n_lines: int
    line_of_row: Positions  # 0-based within the piece

    @property
    def n_rows(self) -> int:
        """Number of rows."""
        return len(self.cuts)

    def first_bytes(self, column: int) -> npt.NDArray[np.uint8]:
        """The first byte of each cell of a column, after an opening quote; LF or so if empty."""
        starts = self.starts(column)
        first = self.codes[starts]
        quoted = first == _QUOTE
        if quoted.any():
            first = np.where(quoted, self.codes[np.minimum(starts + 1, len(self.codes) - 1)], first)
        return first

    def starts(self, column: int) -> Positions:
        """Where the cells of a column begin."""
        if column:
            return self.cuts[:, column - 1] + 1
        starts = np.empty(self.n_rows, dtype=np.int64)
        starts[0] = 0
        starts[1:] = self.cuts[:-1, -1] + 1
        return starts

    def n_filled(self, rows: Positions) -> Positions:
        """How many cells of these rows hold at least one byte."""
        before = np.where(rows > 0, self.cuts[rows - 1, -1], -1)
        edges = np.concatenate([before[:, None], self.cuts[rows]], axis=1)
        lengths = np.diff(edges, axis=1) - 1
        ends = self.cuts[rows, -1]
        lengths[:, -1] -= self.codes[np.maximum(ends - 1, 0)] == _CR
        filled: Positions = (lengths > 0).sum(axis=1)
        return filled

    def followed_by_gaps(self, column: int) -> Positions:
        """The rows in which the two cells after `column` are empty."""
        ends = self.cuts[:, column : column + 3]
        found: Positions = np.flatnonzero((np.diff(ends, axis=1) == 1).all(axis=1))
        return found

    def ends_empty(self) -> bool:
        """Whether the last cell of every row is empty (a delimiter ends every line)."""
        before = self.codes[np.maximum(self.cuts[:, -1] - 1, 0)]
        ends = self.cuts[:, -1] - (before == _CR)
        return bool(np.array_equal(ends, self.cuts[:, -2] + 1))

    def raw(self) -> Callable[[int], str]:
        """The source text of a row by its index, without the line end."""

        def text(row: int) -> str:
            start = int(self.cuts[row - 1, -1]) + 1 if row else 0
            return self.data[start : int(self.cuts[row, -1])].decode("utf-8").removesuffix("\r")

        return text


def last_safe_end(data: bytes, quote: str | None) -> int:
    """How many bytes of `data` end with a line end that is not inside quotes (0 for none)."""
    end = data.rfind(b"\n") + 1
    if not quote or ord(quote) != _QUOTE or b'"' not in data:
        return end
    while end:
        if data.count(b'"', 0, end) % 2 == 0:
            return end
        end = data.rfind(b"\n", 0, data.rfind(b'"', 0, end)) + 1
    return 0


def prove(data: bytes, delimiter: str, quote: str | None, n_cells: int) -> RegularPiece | None:
    """The piece when it is regular with `n_cells` cells a row, else None."""
    if not data.endswith(b"\n") or b"\x00" in data or b"\xef\xbf\xbd" in data:
        return None
    if b"\r" in data and data.count(b"\r") != data.count(b"\r\n"):
        return None
    codes = np.frombuffer(data, dtype=np.uint8)
    cuts: Positions = np.flatnonzero((codes == ord(delimiter)) | (codes == _LF))
    quoted = b'"' in data and quote == '"'
    if quoted:
        kept = _outside_quotes(codes, cuts, ord(delimiter))
        if kept is None:
            return None
        cuts = kept
    if len(cuts) % n_cells:
        return None
    grid = cuts.reshape(-1, n_cells)
    ends = codes[cuts].reshape(-1, n_cells) == _LF
    if not ends[:, -1].all() or ends[:, :-1].any():
        return None
    line_of_row, n_lines = _lines(codes, grid, quoted)
    return RegularPiece(data, codes, grid, n_lines, line_of_row)


def _outside_quotes(
    codes: npt.NDArray[np.uint8], cuts: Positions, delimiter: int
) -> Positions | None:
    """The cuts outside quotes, when every quote stands at the edge of a cell or is doubled."""
    quotes = np.flatnonzero(codes == _QUOTE)
    if len(quotes) % 2:
        return None
    before = codes[np.maximum(quotes[::2] - 1, 0)]
    opens = (before == delimiter) | (before == _LF) | (before == _QUOTE) | (quotes[::2] == 0)
    after = codes[np.minimum(quotes[1::2] + 1, len(codes) - 1)]
    closes = (after == delimiter) | (after == _LF) | (after == _CR) | (after == _QUOTE)
    if not opens.all() or not closes.all():
        return None
    inside = np.searchsorted(quotes, cuts) % 2 == 1
    outside: Positions = cuts[~inside]
    return outside


def _lines(codes: npt.NDArray[np.uint8], grid: Positions, quoted: bool) -> tuple[Positions, int]:
    n_rows = grid.shape[0]
    if quoted:
        ends = np.flatnonzero(codes == _LF)
        if len(ends) != n_rows:
            first = np.searchsorted(ends, grid[:, -1]) + 1
            starts = np.concatenate([[0], first[:-1]]).astype(np.int64)
            return starts, len(ends)
    return np.arange(n_rows, dtype=np.int64), n_rows
