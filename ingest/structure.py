"""From lines to a sheet: find the table, sort every line, gather what stands around it."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

from ingest.body import Body, BodyReader
from ingest.cell_scanner import Cutting
from ingest.column_profile import PROFILE_ROWS, ColumnProfile, profile_of
from ingest.cut_short import take_cut_record
from ingest.dialect import Judged, sample_of
from ingest.head import Head, find_head
from ingest.head_mending import with_head_mended
from ingest.lines_before import Before, add_pairs, separator_hint
from ingest.physical_lines import Lines
from ingest.records import Row, cut_line, cut_rows
from ingest.row_faults import fault_of
from ingest.sheet import Dialect, HeaderFit, RowFault, Sheet, Structure

LEAST_SCORE = 0.1
"""A text whose best cutting scores less is not taken for a table."""
_WORD = re.compile(r"[^\W\d_]{2,}")
_NUMBER = re.compile(r"\d[\d.,:/-]*")
_LIKE_CUT_OFF = frozenset({"too_few_cells", "lacks_an_end", "unclosed_quote", "undecodable"})


@dataclass(frozen=True, slots=True)
class Frame:
    """What the first lines tell about the whole: head, columns and everything over the body."""

    head: Head
    profile: ColumnProfile
    cutting: Cutting
    structure: tuple[Structure, ...]
    faults: tuple[RowFault, ...]
    metadata: Mapping[str, str]

    @property
    def cells_per_row(self) -> int:
        """How many cells a sound row is cut into, empty ones at either edge included."""
        return self.head.skip + self.head.width + self.profile.surplus


def frame_of(rows: Sequence[Row], lines: Lines, judged: Judged, fit: HeaderFit) -> Frame:
    """Read head and profile off the first rows, and sort the lines up to the body."""
    rows = with_head_mended(rows, lines, judged.cutting, judged.width)
    hinted = bool(rows) and separator_hint(lines.texts[rows[0].line - 1]) is not None
    head = find_head(rows[hinted:], judged.width, fit)
    if hinted and head.last_line < rows[0].n_lines:
        head = replace(head, last_line=rows[0].n_lines)
    if head.header_line:
        head = replace(head, text=lines.texts[head.header_line - 1])
    again = set(head.header_cells)
    after = [row.cells for row in rows if row.line > head.last_line]
    body = [cells[head.skip :] for cells in after if tuple(cells) not in again]
    profile = profile_of(body[:PROFILE_ROWS], head.width)
    before = Before(judged.width, head)
    over = [row for row in rows if row.line <= head.last_line]
    for row, following in zip_longest(over, over[1:]):
        before.add(row, lines.join(row.line - 1, row.line - 1 + row.n_lines), following)
    found = (tuple(before.structure), tuple(before.faults), before.metadata)
    return Frame(head, profile, judged.cutting, *found)


def sort_lines(lines: Lines, judged: Judged, fit: HeaderFit) -> tuple[Frame, Body]:
    """The frame and every line after it, for a text that is held whole."""
    rows = cut_rows(sample_of(lines), judged.cutting)
    frame = frame_of(rows, lines, judged, fit)
    rest = _rest_of(rows, lines, frame)
    return frame, sort_rows(rest, lines, frame)


def sort_rows(rest: Sequence[Row], lines: Lines, frame: Frame) -> Body:
    """Sort the rows after the head."""
    body = BodyReader(frame.head, frame.profile, frame.cutting).read(rest, lines)
    if not lines.ended and body.records:
        take_cut_record(body.records, [], body, len(lines.texts), frame.head.width)
    last_record = body.records[-1].line if body.records else 0
    cut_at = None if lines.ended else len(lines.texts)
    return finished(body, frame.head.width, last_record, cut_at)


def _rest_of(sample: Sequence[Row], lines: Lines, frame: Frame) -> list[Row]:
    """The rows of the body, cut anew with the width now known where that can matter."""
    start, quote = frame.head.last_line, frame.cutting.quote
    plain = not any(quote and quote in text for text in lines.texts[start:])
    whole = bool(sample) and sample[-1].line + sample[-1].n_lines > len(lines.texts)
    if whole and plain:
        return [row for row in sample if row.line > start]
    ends = lines.ends if isinstance(lines.ends, str) else lines.ends[start:]
    tail = Lines(lines.texts[start:], ends, lines.newline, lines.ended)
    rows = cut_rows(tail, frame.cutting, frame.cells_per_row)
    for row in rows:
        row.line += start
    return rows


def finished(body: Body, width: int, last_record: int, cut_at: int | None) -> Body:
    """Settle what only the end of the file can tell: footnotes and a last line cut off.

    Args: last_record: its line, 0 for none; cut_at: the last line, when it has no line end.
    """
    last_data = max(last_record, body.faults[-1].line if body.faults else 0)
    body.structure = [
        replace(part, kind="footnote") if part.kind == "section" and part.line > last_data else part
        for part in body.structure
    ]
    body.sections = [part for part in body.sections if part.line < last_data]
    _take_notes(body, last_record, width)
    last = body.faults[-1] if body.faults else None
    if last and cut_at == last.line + last.n_lines - 1 and last.code in _LIKE_CUT_OFF:
        place = (last.line, last.n_lines)
        body.faults[-1] = fault_of("truncated_line", place, last.cells, last.raw, width)
    return body


def _take_notes(body: Body, last_record: int, width: int) -> None:
    """Sentences after the last record that delimiters in them cut into cells are footnotes."""
    while body.faults and body.faults[-1].line > last_record and _is_prose(body.faults[-1], width):
        note = body.faults.pop()
        body.structure.append(Structure(note.line, "footnote", note.n_lines, note.raw.strip()))
    body.structure.sort(key=lambda part: part.line)


def _is_prose(fault: RowFault, width: int) -> bool:
    """At most half of the cells of a row, each with words, three or more in all, few numbers."""
    if fault.code != "too_few_cells" or 2 * len(fault.cells) > width:
        return False
    worded = all(_WORD.search(cell) for cell in fault.cells if cell.strip())
    n_words, n_numbers = len(_WORD.findall(fault.raw)), len(_NUMBER.findall(fault.raw))
    most = n_words / 2 if fault.raw[:1].isdigit() else 2 * n_words
    return worded and n_words > 2 and n_numbers <= most


def metadata_of(found: Mapping[str, str], body: Body, cutting: Cutting) -> dict[str, str]:
    """Pairs from the lines around the table; what stands over it (`found`) wins.

    Pairs between the records are no metadata of the whole: they are sections.
    """
    metadata = dict(found)
    within = {section.line for section in body.sections}
    for part in body.structure:
        if part.kind in {"footnote", "comment"} and part.line not in within:
            add_pairs(metadata, cut_line(part.text, cutting), part.text)
    return metadata


def sheet_of(name: str, frame: Frame, body: Body, dialect: Dialect, n_lines: int) -> Sheet:
    """Put the parts together, everything in order of line."""
    return Sheet(
        name=name,
        header=frame.head.names,
        header_line=frame.head.header_line,
        units=frame.head.units,
        records=body.records,
        structure=(*frame.structure, *body.structure),
        metadata=metadata_of(frame.metadata, body, frame.cutting),
        dialect=dialect,
        faults=(*frame.faults, *body.faults),
        n_lines=n_lines,
        sections=tuple(body.sections),
    )
