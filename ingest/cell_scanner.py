"""One line of text to cells, whatever its quotes and escapes do.

`Scanner` knows one way of cutting. Its plain answer says whether every quote is well formed; the
others find cells in lines where one is not.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

_MAX_WAYS_TRIED = 500
_TEAR_ENDS = re.compile(r'(?:\s.*|.*\D)"|.*""', re.DOTALL)
RUN_OF_SPACES = re.compile(r"[ \u00a0]{2,}")

MULTI_SPACE = "  "


@dataclass(frozen=True, slots=True)
class Cutting:
    """What a line is cut by."""

    delimiter: str
    quote: str | None = None
    escape: str | None = None


class Cells(NamedTuple):
    """The cells of a text, and what is wrong with its quotes."""

    cells: list[str]
    sound: bool
    open: bool = False  # ends inside a quoted cell; more text may close it
    torn: bool = False  # a quote within a plain cell ends in a later one: delimiters between cut it


class Scanner:
    """Cuts one line (or several joined ones) that may hold quotes and escapes."""

    def __init__(self, cutting: Cutting) -> None:
        self.quote, self.escape = cutting.quote, cutting.escape
        spaced = cutting.delimiter == MULTI_SPACE
        delimiter = RUN_OF_SPACES.pattern if spaced else re.escape(cutting.delimiter) or "(?!)"
        blank = "" if spaced or cutting.delimiter == " " else "[ ]*"
        q = re.escape(self.quote) if self.quote else "(?!)"
        e = re.escape(self.escape) if self.escape else "(?!)"
        ordinary = f"[^{q if self.quote else ''}{e if self.escape else ''}]++" if self.quote else ""
        content = f"(?P<cell>(?:{ordinary}|{q}{q}|{e}.)*+)"
        end = rf"{blank}(?P<end>{delimiter}|\Z)"
        before = re.escape(cutting.delimiter[:1])
        self._tear = re.compile(
            rf"""{q}(?:(?<=[^\W\d_]{q})[^\W\d_]{{2}}"""
            rf"""|(?<=[^\s{q}{before}]{q})(?:[^\W\d_]{{3}}|[^\W\d_]{{1,2}}[ ][^\W\d_]))"""
            if self.quote == '"'
            else "(?!)"
        )
        self._escaped = re.compile(rf"{e}({e}|{q}|{delimiter}|\n)")
        self._delimiter = re.compile(delimiter)
        self._opening = re.compile(blank + q)
        self._quoted = re.compile(f"{blank}{q}{content}{q}{end}", re.DOTALL)
        self._unfinished = re.compile(rf"{blank}{q}{content}{e}?\Z", re.DOTALL)
        self._closing = re.compile(q + end)
        self._plain = re.compile(
            rf"(?P<cell>(?:{e}.|(?!{delimiter}).)*+)(?P<end>{delimiter}|\Z)", re.DOTALL
        )

    def cells(self, text: str, *, mildly: bool = False) -> Cells:
        """The cells, `sound` when every quote is well formed.

        `mildly`: a quote closes at the next delimiter after a quote; one never closed is text.
        """
        cells: list[str] = []
        at, sound, unclosed = 0, True, False
        closing: re.Match[str] | None = None
        tearing = torn = False
        may_tear = self._tear.search(text) is not None
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
            if may_tear and not opening and cells[-1].count('"') % 2:
                torn = torn or (tearing and bool(_TEAR_ENDS.fullmatch(cells[-1].rstrip())))
                tearing = tearing or bool(self._tear.search(cells[-1]))
        return Cells(cells, sound, unclosed, torn)

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
            cell = self._escaped.sub(r"\1", cell)
        return cell


@lru_cache(maxsize=64)
def scanner_of(cutting: Cutting) -> Scanner:
    """The scanner of this way of cutting; it is built once."""
    return Scanner(cutting)
