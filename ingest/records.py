"""Physical lines to rows of cells, under one dialect.

Rules:
- A quote means something only at the start of a cell; `12' 6"` is plain text.
- A quoted cell may run over lines. It is believed when it closes properly within a few lines and
  the row then has the expected width; otherwise the quote was never closed and that line alone is
  at fault, so one stray quote cannot swallow the rows after it.
- A quote inside a quoted cell that was not doubled is believed when the row then has the expected
  width.
"""

import re
from dataclasses import dataclass
from functools import lru_cache

from ingest.physical_lines import Lines

_MAX_LINES_OF_A_CELL = 100
_MAX_FAILED_LOOKAHEADS = 60
_MAX_WAYS_TRIED = 500
_LONGEST_TRIED = 20_000
_LONGEST_ROW = 200_000
_RUN_OF_SPACES = re.compile(r"[ \u00a0]{2,}")

MULTI_SPACE = "  "


@dataclass(slots=True)
class Row:
    """Cells of `n_lines` physical lines from 1-based `line`; `fault` is a code or empty."""

    line: int
    n_lines: int
    cells: list[str]
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Cutting:
    """What a line is cut by."""

    delimiter: str
    quote: str | None = None
    escape: str | None = None


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
        return _scanner(cutting).cells(text, mildly=True).cells
    return _cut_plain([text], cutting)[0].cells


def _needs_care(texts: list[str], cutting: Cutting) -> bool:
    marks = [mark for mark in (cutting.quote, cutting.escape) if mark]
    return any(mark in text for mark in marks for text in texts)


def _cut_plain(texts: list[str], cutting: Cutting) -> list[Row]:
    delimiter = cutting.delimiter
    if delimiter == MULTI_SPACE:
        return [Row(i, 1, _RUN_OF_SPACES.split(t.strip(" "))) for i, t in enumerate(texts, 1)]
    if not delimiter:
        return [Row(i, 1, [t]) for i, t in enumerate(texts, 1)]
    return [Row(i, 1, t.split(delimiter)) for i, t in enumerate(texts, 1)]


@dataclass(frozen=True, slots=True)
class _Cells:
    cells: list[str]
    sound: bool
    open: bool = False  # ends inside a quoted cell; more text may close it


class _Scanner:
    """Cuts one line (or several joined ones) that may hold quotes and escapes."""

    def __init__(self, cutting: Cutting) -> None:
        self.quote, self.escape = cutting.quote, cutting.escape
        spaced = cutting.delimiter == MULTI_SPACE
        delimiter = _RUN_OF_SPACES.pattern if spaced else re.escape(cutting.delimiter) or "(?!)"
        blank = "" if spaced or cutting.delimiter == " " else "[ ]*"
        q = re.escape(self.quote) if self.quote else "(?!)"
        e = re.escape(self.escape) if self.escape else "(?!)"
        ordinary = f"[^{q if self.quote else ''}{e if self.escape else ''}]++" if self.quote else ""
        content = f"(?P<cell>(?:{ordinary}|{q}{q}|{e}.)*+)"
        end = rf"{blank}(?P<end>{delimiter}|\Z)"
        self._delimiter = re.compile(delimiter)
        self._opening = re.compile(blank + q)
        self._quoted = re.compile(f"{blank}{q}{content}{q}{end}", re.DOTALL)
        self._unfinished = re.compile(rf"{blank}{q}{content}{e}?\Z", re.DOTALL)
        self._closing = re.compile(q + end)
        self._plain = re.compile(
            rf"(?P<cell>(?:{e}.|(?!{delimiter}).)*+)(?P<end>{delimiter}|\Z)", re.DOTALL
        )

    def cells(self, text: str, *, mildly: bool = False) -> _Cells:
        """The cells, `sound` when every quote is well formed.

        `mildly`: a quote closes at the next delimiter after a quote; one never closed is text.
        """
        cells: list[str] = []
        at, sound, unclosed = 0, True, False
        closing: re.Match[str] | None = None
        while at >= 0:
            match = self._quoted.match(text, at) if self.quote else None
            opening = self._opening.match(text, at) if self.quote and not match else None
            if match:
                cells.append(self._plain_text(match["cell"]))
                at = match.end() if match["end"] else -1
                continue
            if opening:
                sound = False
                if not mildly:
                    unclosed = bool(self._unfinished.match(text, at))
                    break
                # Once no quote closes any more none does further on: do not search again.
                closing = None if unclosed else self._closing.search(text, opening.end())
                unclosed = closing is None
            at = self._next_cell(text, at, opening and closing, opening, cells)
        return _Cells(cells, sound, unclosed)

    def fitting(self, text: str, width: int) -> list[str] | None:
        """The cells when exactly one choice of closing quotes gives `width` of them."""
        found: list[list[str]] = []
        open_ways: list[tuple[int, list[str]]] = [(0, [])]
        for _ in range(_MAX_WAYS_TRIED):
            if not open_ways or len(found) > 1:
                break
            at, cells = open_ways.pop()
            for cell, after in self._ways_on(text, at):
                if after < 0 and len(cells) + 1 == width:
                    found.append([*cells, cell])
                elif after >= 0 and len(cells) + 1 < width:
                    open_ways.append((after, [*cells, cell]))
        return found[0] if len(found) == 1 and not open_ways else None

    def _ways_on(self, text: str, at: int) -> list[tuple[str, int]]:
        """Each cell that could begin here, with the place after its delimiter (−1 at the end)."""
        opening = self._opening.match(text, at)
        if not opening:
            cells: list[str] = []
            after = self._next_cell(text, at, None, None, cells)
            return [(cells[0], after)]
        return [
            (
                self._plain_text(text[opening.end() : match.start()]),
                match.end() if match["end"] else -1,
            )
            for match in self._closing.finditer(text, opening.end())
        ]

    def _next_cell(
        self,
        text: str,
        at: int,
        closing: re.Match[str] | None,
        opening: re.Match[str] | None,
        cells: list[str],
    ) -> int:
        """Append the next cell read mildly; the place after its delimiter, or −1 at the end."""
        if opening and closing:
            cells.append(self._plain_text(text[opening.end() : closing.start()]))
            return closing.end() if closing["end"] else -1
        if self.escape is None:
            match = self._delimiter.search(text, at)
            cells.append(text[at : match.start()] if match else text[at:])
            return match.end() if match else -1
        match = self._plain.match(text, at)
        cells.append(self._plain_text(match["cell"] if match else text[at:]))
        return match.end() if match and match["end"] else -1

    def _plain_text(self, cell: str) -> str:
        """The cell without doubled quotes and escapes."""
        if self.quote and self.quote in cell:
            cell = cell.replace(self.quote * 2, self.quote)
        if self.escape and self.escape in cell:
            cell = re.sub(re.escape(self.escape) + "(.)", r"\1", cell, flags=re.DOTALL)
        return cell


@lru_cache(maxsize=64)
def _scanner(cutting: Cutting) -> _Scanner:
    return _Scanner(cutting)


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
        self._scanner = _scanner(cutting)
        self._failed = 0

    def rows(self) -> list[Row]:
        """All rows, in order."""
        rows: list[Row] = []
        marks = [mark for mark in (self._cutting.quote, self._cutting.escape) if mark]
        at = 0
        while at < self._n:
            text = self._lines.texts[at]
            if any(mark in text for mark in marks):
                row = self._with_care(at)
            else:
                row = Row(at + 1, 1, _cut_plain([text], self._cutting)[0].cells)
            rows.append(row)
            at += row.n_lines
        return rows

    def _with_care(self, at: int) -> Row:
        text = self._lines.texts[at]
        found = self._scanner.cells(text)
        if found.sound:
            return Row(at + 1, 1, _plain_texts(found.cells) if '="' in text else found.cells)
        if found.open:
            row = self._running_on(at)
            if row:
                return row
        mild = self._scanner.cells(text, mildly=True)
        if not mild.open and (self._width is None or len(mild.cells) == self._width):
            return Row(at + 1, 1, mild.cells)
        short = self._width and len(text) < _LONGEST_TRIED
        fitting = self._scanner.fitting(text, self._width or 0) if short else None
        if fitting:
            return Row(at + 1, 1, fitting)
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
