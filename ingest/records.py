"""Physical lines to rows of cells, under one dialect.

Rules:
- A quote means something only at the start of a cell; `12' 6"` is plain text.
- A quoted cell may run over lines. It is believed when it closes properly within a few lines and
  the row then has the expected width; otherwise the quote was never closed and that line alone is
  at fault, so one stray quote cannot swallow the rows after it.
- A quote inside a quoted cell that was not doubled is believed when the row then has the expected
  width.
- A quote that begins within a plain cell and ends in a later one (`12.5"a note, cut"`) shows that a
  delimiter before it is missing: the row is at fault. Inches (`5'11"`) are no such quotes.
- An escape is taken away before a quote, a delimiter, a line end and itself; before anything else
  it is text (`C:\\new`), so that nothing is lost.
"""

from dataclasses import dataclass

from ingest.cell_scanner import MULTI_SPACE, RUN_OF_SPACES, Cutting, scanner_of
from ingest.physical_lines import Lines

_MAX_LINES_OF_A_CELL = 100
_MAX_FAILED_LOOKAHEADS = 60
_LONGEST_TRIED = 20_000
_MOST_QUOTES = 60
_LONGEST_HEADER = 5_000
_LONGEST_ROW = 200_000


@dataclass(slots=True)
class Row:
    """Cells of `n_lines` physical lines from 1-based `line`; `fault` is a code or empty.

    `bent` says that its quotes are not well formed and were read as the expected width asks.
    """

    line: int
    n_lines: int
    cells: list[str]
    fault: str = ""
    bent: bool = False


def cut_rows(lines: Lines, cutting: Cutting, width: int | None = None, limit: int = 0) -> list[Row]:
    """Cut lines into rows.

    Args: width: cells expected in a row, None while unknown; limit: stop after so many lines.
    """
    texts = lines.texts[:limit] if limit else lines.texts
    if not _needs_care(texts, cutting):
        return _cut_plain(texts, cutting)
    return _Cutter(lines, len(texts), cutting, width).rows()


def cut_line(text: str, cutting: Cutting) -> list[str]:
    """The cells of one line on its own, whatever its quotes do."""
    if _needs_care([text], cutting):
        return scanner_of(cutting).cells(text, mildly=True).cells
    return _cut_plain([text], cutting)[0].cells


def cut_with_a_stray_quote(text: str, cutting: Cutting, width: int) -> list[str] | None:
    """The `width` cells of a line that is well formed once a single quote is taken for text.

    None when it is well formed as it stands, or when several quotes could be that one.
    """
    quote, scanner = cutting.quote, scanner_of(cutting)
    stand_in = "\ue000"
    if not quote or len(text) > _LONGEST_HEADER or stand_in in text:
        return None
    if text.count(quote) > _MOST_QUOTES:
        return None
    if scanner.cells(text).sound:
        return None
    found: list[list[str]] = []
    for at in (i for i, char in enumerate(text) if char == quote):
        tried = scanner.cells(f"{text[:at]}{stand_in}{text[at + 1 :]}")
        cells = [cell.replace(stand_in, quote) for cell in tried.cells]
        if tried.sound and len(cells) == width and cells not in found:
            found.append(cells)
    return found[0] if len(found) == 1 else None


def _needs_care(texts: list[str], cutting: Cutting) -> bool:
    marks = [mark for mark in (cutting.quote, cutting.escape) if mark]
    return any(mark in text for mark in marks for text in texts)


def _cut_plain(texts: list[str], cutting: Cutting) -> list[Row]:
    delimiter = cutting.delimiter
    if delimiter == MULTI_SPACE:
        return [Row(i, 1, RUN_OF_SPACES.split(t.strip(" "))) for i, t in enumerate(texts, 1)]
    if not delimiter:
        return [Row(i, 1, [t]) for i, t in enumerate(texts, 1)]
    return [Row(i, 1, t.split(delimiter)) for i, t in enumerate(texts, 1)]


def _plain_texts(cells: list[str]) -> list[str]:
    """Cells without the `="…"` by which a spreadsheet is told to leave a text alone."""
    return [
        cell[2:-1] if cell.startswith('="') and cell.endswith('"') and len(cell) > 2 else cell
        for cell in cells
    ]


class _Cutter:
    """Goes through the lines once, looking ahead where a quoted cell runs on."""

    def __init__(self, lines: Lines, n: int, cutting: Cutting, width: int | None) -> None:
        self._lines, self._n, self._cutting, self._width = lines, n, cutting, width
        self._scanner = scanner_of(cutting)
        self._failed = 0

    def rows(self) -> list[Row]:
        """All rows, in order."""
        rows: list[Row] = []
        first, *more = [mark for mark in (self._cutting.quote, self._cutting.escape) if mark]
        at = 0
        while at < self._n:
            text = self._lines.texts[at]
            if first in text or (more and more[0] in text):
                row = self._with_care(at)
            else:
                row = Row(at + 1, 1, _cut_plain([text], self._cutting)[0].cells)
            rows.append(row)
            at += row.n_lines
        return rows

    def _with_care(self, at: int) -> Row:
        text = self._lines.texts[at]
        found = self._scanner.cells(text)
        if found.torn:
            return Row(at + 1, 1, found.cells, "stray_quote")
        if found.sound:
            return Row(at + 1, 1, _plain_texts(found.cells) if '="' in text else found.cells)
        if found.open:
            row = self._running_on(at)
            if row:
                return row
        mild = self._scanner.cells(text, mildly=True)
        if not mild.open and (self._width is None or len(mild.cells) == self._width):
            return Row(at + 1, 1, mild.cells, bent=True)
        short = self._width and len(text) < _LONGEST_TRIED
        fitting = self._scanner.fitting(text, self._width or 0) if short else None
        if fitting:
            return Row(at + 1, 1, fitting, bent=True)
        return Row(at + 1, 1, mild.cells, "unclosed_quote" if found.open else "stray_quote")

    def _running_on(self, at: int) -> Row | None:
        """The row when its open cell closes properly a few lines on."""
        if self._failed >= _MAX_FAILED_LOOKAHEADS:
            return None
        quote = self._cutting.quote or ""
        for stop in range(at + 2, min(at + _MAX_LINES_OF_A_CELL, self._n) + 1):
            if quote not in self._lines.texts[stop - 1]:
                continue
            joined = self._lines.join(at, stop)
            if len(joined) > _LONGEST_ROW:
                break
            found = self._scanner.cells(joined)
            if found.sound and self._believable(found.cells, at, stop):
                return Row(at + 1, stop - at, found.cells)
            if not found.open:
                break
        self._failed += 1
        return None

    def _believable(self, cells: list[str], at: int, stop: int) -> bool:
        """The right width, or no line swallowed that would have been a row of its own."""
        if self._width is None or len(cells) == self._width:
            return True
        alone = (cut_line(self._lines.texts[i], self._cutting) for i in range(at + 1, stop))
        return all(len(swallowed) != self._width for swallowed in alone)
