"""The lines after the head: which are records, which are structure, which are not sound.

Rules:
- A row of the header's width is a record unless something says otherwise. Empty cells beyond the
  width are dropped where every row ends so, or where nothing else in the row can have moved;
  filled ones are a fault.
- A summary row begins with a summary word, and either breaks a column of numbers, or lacks what
  every row has, or its word is a strong one that does not recur in its column.
- A short row is a fault, unless the writer leaves out empty cells at the end as a habit.
- A lone label, or a key with its value, is a section heading; after the last record, a footnote.
- A second table (another header, then rows) is not the first one's data. Its rows are faults,
  unless it is a table of summaries.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from ingest.cell_scanner import MULTI_SPACE, Cutting
from ingest.cell_shapes import is_label
from ingest.column_profile import ColumnProfile
from ingest.fixed_width import cells_under
from ingest.head import Head
from ingest.header_search import is_banner, looks_like_data
from ingest.key_values import key_values
from ingest.physical_lines import Lines
from ingest.plain_rows import PlainRows, folded_cell
from ingest.records import Row, cut_line
from ingest.row_faults import fault_of
from ingest.row_signs import is_comment, is_heading, is_summary
from ingest.sheet import Record, RowFault, Section, Structure
from ingest.shifts import lacks_an_end, may_have_shifted
from ingest.structure_words import is_units_row, summary_strength

_GAPS = frozenset({"blank", "section", "banner", "comment"})
_OTHER_DELIMITERS = (",", ";", "\t", "|")


@dataclass(slots=True)
class Body:
    """What the lines of a body turned out to be, each in order of line."""

    records: list[Record] = field(default_factory=list)
    structure: list[Structure] = field(default_factory=list)
    faults: list[RowFault] = field(default_factory=list)
    sections: list[Section] = field(default_factory=list)


class BodyReader:
    """Sorts rows of one body. It may be fed in pieces; `first_line` moves with them."""

    def __init__(self, head: Head, profile: ColumnProfile, cutting: Cutting) -> None:
        self._head, self._profile, self._cutting = head, profile, cutting
        self._headers = [_folded(cells) for cells in head.header_cells]
        self._units = _folded(head.units) if head.units else None
        self._other: str | None = None  # kind of the second table that we are in
        self._other_width = 0
        self._summary_title = False
        self._edges = f" \t{cutting.delimiter}{cutting.quote or ''}"
        self.plain = PlainRows(head, profile)
        self.body = Body()

    @property
    def in_other_table(self) -> bool:
        """Whether the lines read last belong to a second table."""
        return self._other is not None

    def read(
        self, rows: Sequence[Row], lines: Lines, offset: int = 0, n: int | None = None
    ) -> Body:
        """Sort these rows, or the first `n` of them. Returns the body so far.

        `offset` is added to their line numbers.
        """
        width, body, surplus = self._profile.width, self.body, self._profile.surplus
        for at, row in enumerate(rows[:n] if n is not None else rows):
            cells = row.cells[self._head.skip :] if self._head.skip else row.cells
            if surplus and len(cells) == width + surplus and not any(cells[width:]):
                cells = cells[:width]
            elif surplus and len(cells) == width:
                self._sort(rows, at, cells, lines, offset)
                continue
            sound = len(cells) == width and not row.fault and self._other is None
            if sound and self.plain.is_plain(cells):
                raw = lines.join(row.line - 1, row.line - 1 + row.n_lines)
                if "\x00" not in raw and "\ufffd" not in raw:
                    body.records.append(Record(row.line + offset, tuple(cells), raw, row.n_lines))
                    continue
            self._sort(rows, at, cells, lines, offset)
        return body

    def _sort(
        self, rows: Sequence[Row], at: int, cells: list[str], lines: Lines, offset: int
    ) -> None:
        row = rows[at]
        raw = lines.join(row.line - 1, row.line - 1 + row.n_lines)
        line = row.line + offset
        if len(cells) != self._profile.width and self._other is None:
            mended = self._by_place(raw) or self._under_another_delimiter(raw)
            if mended:
                self.body.records.append(Record(line, tuple(mended), raw, row.n_lines))
                return
        if not row.bent and self._is_back_in_first_table(cells, line):
            self._other = None
        kind = self._structure_kind(rows, at, cells, raw, line)
        if kind:
            self.body.structure.append(Structure(line, kind, row.n_lines, raw.strip()))
            if kind == "section" or (kind == "comment" and key_values(cells)):
                self.body.sections.extend(_sections(line, cells))
            return
        code = self._fault_code(row, cells, raw)
        if code:
            usual = self._profile.surplus if code == "lacks_an_end" else 0
            place, width = (line, row.n_lines), self._profile.width + usual
            self.body.faults.append(fault_of(code, place, cells, raw, width))
            return
        width = self._profile.width
        padded = [*cells[:width], *[""] * (width - len(cells))]
        self.body.records.append(Record(line, tuple(padded), raw, row.n_lines))

    def _structure_kind(
        self, rows: Sequence[Row], at: int, cells: list[str], raw: str, line: int
    ) -> str | None:
        if not any(map(str.strip, cells)) and not is_banner([raw.strip(self._edges)]):
            return "padding" if raw.strip("\x00\x1a ") == "" and raw else "blank"
        if not raw.strip("\x00\x1a \t"):
            return "padding"
        if is_banner(cells) or is_banner([raw]):
            return "banner"
        folded = _folded(cells)
        if folded in self._headers:
            self._other = None
            return "repeated_header"
        as_wide = folded == self._units or len(cells) >= self._profile.width - 1
        if as_wide and is_units_row(cells):
            return "repeated_units"
        return self._structure_of_words(rows, at, cells, raw, line)

    def _structure_of_words(
        self, rows: Sequence[Row], at: int, cells: list[str], raw: str, line: int
    ) -> str | None:
        if self._begins_other_table(rows, at, cells, line):
            return self._enter_other_table(cells)
        if is_summary(cells, self._profile, after_summary=self._kind_above(line) == "summary"):
            self._summary_title = sum(1 for cell in cells if cell.strip()) == 1
            return "summary"
        if self._other == "summary" and len(cells) > 1:
            return "summary"
        in_other_row = self._other is not None and len(cells) == self._other_width
        if not in_other_row and is_comment(cells, raw):
            return "comment"
        if not in_other_row and is_heading(cells, self._profile):
            self._enter_section(cells)
            return "section"
        return None

    def _enter_other_table(self, cells: Sequence[str]) -> str:
        """Go into a second table at its header; returns what its header is."""
        of_summaries = self._summary_title or any(map(summary_strength, filter(None, cells)))
        self._other = "summary" if of_summaries else "other_table"
        self._other_width = len(cells)
        return "summary" if of_summaries else "other_header"

    def _enter_section(self, cells: Sequence[str]) -> None:
        """A heading may announce a table of summaries, or end one."""
        self._summary_title = any(map(summary_strength, filter(None, cells)))
        if not self._summary_title and self._other == "summary":
            self._other = None

    def _kind_above(self, line: int) -> str:
        """The kind of the line above, empty if it is a record or a fault."""
        last = self.body.structure[-1:]
        return last[0].kind if last and last[0].line + last[0].n_lines == line else ""

    def _begins_other_table(
        self, rows: Sequence[Row], at: int, cells: Sequence[str], line: int
    ) -> bool:
        """Labels of another width or, after a gap, where numbers should be; then rows like them."""
        filled = [cell for cell in cells if cell.strip()]
        if len(filled) < 2 or not all(map(is_label, filled)) or rows[at].fault:
            return False
        alone = len(filled) < len(cells) and len(filled) <= 2
        if alone or any(cell.strip().endswith(":") for cell in filled):
            return False
        misplaced = sum(1 for i in self._profile.measured if i < len(cells) and is_label(cells[i]))
        same_width = len(cells) == self._profile.width
        apart = self._kind_above(line) in _GAPS or self._summary_title
        if same_width and not (apart and misplaced >= min(2, len(self._profile.measured))):
            return False
        following = next((r for r in rows[at + 1 : at + 4] if any(map(str.strip, r.cells))), None)
        if following is None or len(following.cells) != len(rows[at].cells):
            return False
        return looks_like_data(following.cells, len(filled))

    def _is_back_in_first_table(self, cells: Sequence[str], line: int) -> bool:
        """Whether a row of the first table comes after a second one: by its width, or a gap."""
        width = self._profile.width
        if self._other is None or len(cells) != width:
            return False
        if self._other_width == width and self._kind_above(line) != "blank":
            return False
        return looks_like_data(cells, width) and self._profile.suits(cells)

    def _fault_code(self, row: Row, cells: list[str], raw: str) -> str:
        """The code of what is wrong with the shape of this row, or empty."""
        width = self._profile.width
        trimmed = self._profile.trims and self._may_be_trimmed(cells)
        checks = (
            (self._other == "other_table", "other_table"),
            (bool(row.fault), row.fault),
            ("\x00" in raw, "nul_byte"),
            ("\ufffd" in raw, "undecodable"),
            (any(map(str.strip, cells[width:])), "too_many_cells"),
            (may_have_shifted(cells, self._profile, self._cutting.delimiter), "too_many_cells"),
            (len(cells) < width and not trimmed, "too_few_cells"),
            (lacks_an_end(cells, self._profile), "lacks_an_end"),
        )
        return next((code for wrong, code in checks if wrong), "")

    def _may_be_trimmed(self, cells: Sequence[str]) -> bool:
        return len(cells) >= max(2, self._profile.width // 2) and self._profile.suits(cells)

    def _by_place(self, raw: str) -> list[str] | None:
        """The cells of a row set in columns by spaces, when their places prove what is missing."""
        if self._cutting.delimiter != MULTI_SPACE or is_banner([raw]) or not raw.strip():
            return None
        cells = cells_under(self._head.text, raw)
        if cells is None or len(cells) != self._profile.width or not self._profile.suits(cells):
            return None
        return cells if looks_like_data(cells, 2) else None

    def _under_another_delimiter(self, raw: str) -> list[str] | None:
        """The cells when exactly one other delimiter or quote gives the right width and shapes."""
        if self._profile.width < 3 or "\x00" in raw or "\ufffd" in raw:
            return None
        own, quote = self._cutting.delimiter, self._cutting.quote
        raw = raw.removesuffix(own * self._profile.surplus)
        others = [Cutting(d, quote) for d in _OTHER_DELIMITERS if d != own and d in raw]
        if not quote or quote not in raw:
            others += [Cutting(own, q) for q in "'\"" if q != quote and raw.count(q) > 1]
        found = []
        for other in others:
            cells = cut_line(raw, other)
            if len(cells) == self._profile.width and self._profile.suits(cells):
                found.append(cells)
        return found[0] if len(found) == 1 else None


def _sections(line: int, cells: Iterable[str]) -> list[Section]:
    cells = list(cells)
    pairs = key_values(cells)
    if not pairs:
        pairs = [("", " ".join(cell.strip() for cell in cells if cell.strip()))]
    return [Section(line, key, value) for key, value in pairs]


def _folded(cells: Sequence[str]) -> tuple[str, ...]:
    folded = [folded_cell(cell) for cell in cells]
    while folded and not folded[-1]:
        folded.pop()
    return tuple(folded)
