"""Club, surface, day and player from lines that stand alone: headings between rows, or titles.

Rules
- `Sand Wedge` or `Club: 56°` on a line of its own names the club of the rows after it, `Surface:
  mat` what they were struck from, a heading that holds a day (`Session 2, 4 May 2026`) that day.
- `Player: Ben` between the rows of a file whose top names another keeps the name beside each row.
- What a column of the table says itself is never overruled.
- The rows get a column of their own for it, behind those of the file, read like any other: whatever
  such texts leave open is asked about as in a column.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from ingest.clubs import is_club_only, read_club
from ingest.headers import read_header
from ingest.preamble import NOT_THE_DAY, day_text_in, is_day_title, key_meaning
from ingest.sheet import Record, Sheet
from ingest.surfaces import is_surface
from ingest.times import read_stamp
from ingest.words import compact

_SAMPLE = 20
_COUNT = re.compile(r"\s*(?:[-–—:,]\s*\d+\D*|\(\s*\d+[^)°]*\))$")


@dataclass(frozen=True)
class _Spoken:
    line: int
    text: str


def with_section_columns(sheet: Sheet) -> Sheet:
    """`sheet` with a column each for club, surface and day, where headings say them."""
    if not _names_column(sheet, {"club_text"}, any):
        sheet = _with_column(sheet, "Club", _clubs(sheet))
    if sheet.sections and not _names_column(sheet, {"surface"}, any):
        sheet = _with_column(sheet, "Surface", _with_stated(sheet, "surface", []))
    if sheet.sections and not _names_column(sheet, {"player"}, any):
        sheet = _with_column(sheet, "Player", _players(sheet))
    if sheet.sections and not _names_column(sheet, {"date", "when"}, _hold_days):
        sheet = _with_column(sheet, "Date", _days(sheet))
    return sheet


def _with_column(sheet: Sheet, name: str, spoken: Sequence[_Spoken]) -> Sheet:
    if not spoken:
        return sheet
    width = len(sheet.header)
    records: list[Record] = []
    at, text = 0, ""
    for record in sheet.records:
        while at < len(spoken) and spoken[at].line < record.line:
            text = spoken[at].text
            at += 1
        cells = (*record.cells[:width], *[""] * (width - len(record.cells)), text)
        records.append(replace(record, cells=cells))
    units = (*sheet.units, *[""] * (width - len(sheet.units)), "") if sheet.units else None
    return replace(sheet, header=(*sheet.header, name), units=units, records=records)


def _names_column(sheet: Sheet, names: set[str], tells: Callable[[list[str]], bool]) -> bool:
    """Whether a header names one of these columns, with cells that tell it."""
    for index, header in enumerate(sheet.header):
        found = {m.column for ms in read_header(header, True).matches.values() for m in ms}
        cells = [r.cells[index].strip() for r in sheet.records[:_SAMPLE] if index < len(r.cells)]
        if found & names and tells([cell for cell in cells if cell]):
            return True
    return False


def _hold_days(cells: list[str]) -> bool:
    stamps = [read_stamp(cell) for cell in cells]
    dated = [s for s in stamps if s is not None and s.numbers is not None]
    plain = [c for c, s in zip(cells, stamps, strict=True) if s is None and c[:1].isdigit()]
    return bool(dated or plain)


def _clubs(sheet: Sheet) -> list[_Spoken]:
    """Lines that name a club, in order; none unless a lone one or a heading does."""
    lone = [_Spoken(line, text) for line, text in _lone_lines(sheet) if _is_club(text)]
    return _with_stated(sheet, "club", lone)


def _players(sheet: Sheet) -> list[_Spoken]:
    """Whose rows follow, where a heading between them names another player than the top."""
    named = [(0, key, value) for key, value in sheet.metadata.items()]
    named += [(section.line, section.key, section.value) for section in sheet.sections]
    found = [_Spoken(line, text) for line, key, text in named if _is_player(key) and text.strip()]
    return found if len({spoken.text for spoken in found}) > 1 else []


def _is_player(key: str) -> bool:
    return any(m.column == "player" for m in read_header(key).matches.get("launch", ()))


def _with_stated(sheet: Sheet, meaning: str, lone: Sequence[_Spoken]) -> list[_Spoken]:
    """`lone` and the headings that tell `meaning`, in order, after what is stated for the whole."""
    found = [
        *lone,
        *(
            _Spoken(section.line, section.value)
            for section in sheet.sections
            if key_meaning(section.key) == meaning
        ),
    ]
    if not found:
        return []
    stated = next((v for k, v in sheet.metadata.items() if key_meaning(k) == meaning), None)
    return [*([_Spoken(0, stated)] if stated else []), *sorted(found, key=lambda s: s.line)]


def _is_club(text: str) -> bool:
    """Whether the line names a club and says nothing else but a count ("Sand Wedge (12)").

    `Sand` and `Fairway` alone may as well say where the balls lay.
    """
    named = read_club(text)
    if (named.kind is None and named.loft_deg is None) or is_surface(text):
        return False
    bare = _COUNT.sub("", text)
    return len(compact(bare)) > 1 and is_club_only(bare)


def _days(sheet: Sheet) -> list[_Spoken]:
    """Lines that hold a day, in order; none unless a heading between the rows does."""
    within = {section.line for section in sheet.sections}
    found: list[_Spoken] = []
    for line in sheet.structure:
        over = line.kind == "preamble" or line.line in within
        day = day_text_in(line.text) if over and not NOT_THE_DAY.search(line.text) else None
        if day and (line.line not in within or is_day_title(line.text, day)):
            found.append(_Spoken(line.line, day))
    if not any(spoken.line in within for spoken in found):
        return []
    return found


def _lone_lines(sheet: Sheet) -> list[tuple[int, str]]:
    """(line, text) of headings without a key, and of titles, that fill one cell."""
    found = [(section.line, section.value) for section in sheet.sections if not section.key]
    edges = f" \t\"'#*=:-–—{sheet.dialect.delimiter}"
    for line in sheet.structure:
        text = line.text.strip(edges)
        if line.kind == "preamble" and text and (sheet.dialect.delimiter or "\0") not in text:
            found.append((line.line, text))
    return found
