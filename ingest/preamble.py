"""What the lines around a table say about it: day, start, zone, units, signs, and the file's name.

Only what a line states plainly is used: a key of the vocabulary (`Zeitzone: Europe/Berlin`), a day
in a title line that does not speak of exporting, a footnote that says which side is negative.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from ingest.date_order import resolved
from ingest.header_concepts import unit_key
from ingest.sheet import Sheet
from ingest.signs import sign_stated
from ingest.times import DAY_FIRST, YEAR_FIRST, Stamp, read_stamp
from ingest.units import find_unit
from ingest.words import compact, preamble_keys

_TITLES = frozenset({"banner", "preamble", "section", "comment"})
_NOTES = frozenset({"footnote", "banner", "comment", "preamble", "section"})
_SPOKEN = re.compile(r"^[#;*/\s\"]*([^:=,;]{2,30}?)\s*[:=]\s*([^\"]+)")
NOT_THE_DAY = re.compile(
    r"export|print|creat|generat|version|download|erstellt|gedruckt|imprim|créé|firmware|update|"
    r"birth|geburt|naiss|nacim|出力|作成|내보|생성",
    re.IGNORECASE,
)
_DAY_IN_NAME = re.compile(
    r"(?<!\d)(20\d{2})[-_. ]?(0[1-9]|1[0-2])[-_. ]?(0[1-9]|[12]\d|3[01])(?!\d)"
)
_DAY_IN_TITLE = re.compile(
    r"\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}\.\d{1,2}\.\d{4}|\d{4}年\d{1,2}月\d{1,2}日"
    r"|\d{4}년\s?\d{1,2}월\s?\d{1,2}일"
    r"|\d{1,2}(?:st|nd|rd|th|\.)?\s(?:de |di )?[^\W\d_]{3,12}\.?\s(?:de |di |del )?\d{4}"
    r"|[^\W\d_]{3,12}\.?\s\d{1,2}(?:st|nd|rd|th)?,?\s\d{4}"
)
_DAY_WRITTEN = re.compile(
    rf"(?<!\d)(?=((?:{_DAY_IN_TITLE.pattern}"
    r"|\d{1,2}[-/.]\d{1,2}[-/.](?:\d{4}|\d{2}))(?!\d)))"
)
"""Every place where a day may begin: "Session 1 2026-05-01" begins with what looks like one."""
_WORD = re.compile(r"[^\W\d_]{2,}")
_MOST_WORDS = 2


@dataclass(frozen=True)
class Told:
    """`said` is meaning → text (`date`, `start`, `zone`, `units` …), as the vocabulary names them.

    `days` are settled days found around the table, the plainest first; `name_day` is the one in
    the file's name. `sign` is the side that plus means, when a line says so.
    """

    said: Mapping[str, str]
    days: tuple[date, ...] = ()
    name_day: date | None = None
    sign: int | None = None


def key_meaning(key: str) -> str | None:
    """What a key tells (`date`, `zone`, `length_unit` …): by the vocabulary, else by its words."""
    bare = re.sub(r"[(\[].*?[)\]]", "", key)
    return preamble_keys().get(compact(bare)) or unit_key(bare)


def day_text_in(text: str) -> str | None:
    """The day that a line holds, as written; None when it holds none, or several."""
    found = {match[1] for match in _DAY_WRITTEN.finditer(text) if read_stamp(match[1])}
    return found.pop() if len(found) == 1 else None


def is_day_title(text: str, day: str) -> bool:
    """A word or two beside a day ("Monday", "Session 2"), not a sentence ("new ball after …")."""
    return len(_WORD.findall(text.replace(day, " "))) <= _MOST_WORDS


def read_preamble(sheet: Sheet, file_name: str) -> Told:
    """Everything the surroundings of the table in `sheet` say."""
    said: dict[str, str] = {}
    for key, text in sheet.metadata.items():
        meaning = key_meaning(key)
        if meaning and text.strip():
            said.setdefault(meaning, _whole(sheet, key, text.strip()))
    changed = _changed_within(sheet, said)
    said = {meaning: text for meaning, text in said.items() if meaning not in changed}
    if changed & {"date", "start"}:
        return Told(said, sign=_sign(sheet, said))
    for key, text in _spoken_lines(sheet):
        said.setdefault(key, text)
    days = [day for key in ("date", "start") if (day := settled_day(said.get(key, "")))]
    if not days:
        days = _title_days(sheet)
    return Told(said, tuple(days), day_in_name(file_name), _sign(sheet, said))


def _changed_within(sheet: Sheet, said: Mapping[str, str]) -> set[str]:
    """Meanings for which a heading between the rows says otherwise: they hold for no whole file."""
    changed: set[str] = set()
    for section in sheet.sections:
        meaning = key_meaning(section.key)
        if meaning and meaning in said and section.value.strip() != said[meaning]:
            changed.add(meaning)
    return changed


def _spoken_lines(sheet: Sheet) -> list[tuple[str, str]]:
    """Comment and title lines of the form `# units: yd, mph` as (meaning, text).

    A heading between the rows may hold for those after it only: it says nothing of the whole.
    """
    found = [("units", text) for line in sheet.structure if (text := _unit_list(sheet, line.text))]
    top = sheet.records[0].line if sheet.records else 0
    between = {section.line for section in sheet.sections if section.line > top}
    for line in sheet.structure:
        spoken = _SPOKEN.match(line.text) if line.line not in between else None
        if spoken and (line.kind in _TITLES or line.text.lstrip().startswith("#")):
            meaning = key_meaning(spoken[1])
            if meaning:
                found.append((meaning, spoken[2].strip()))
    return found


def _unit_list(sheet: Sheet, text: str) -> str | None:
    """The units of a line of the form `Units;m/s;m;deg` above the table."""
    first, *cells = (cell.strip(' "') for cell in text.split(sheet.dialect.delimiter or ","))
    listed = [cell for cell in cells if cell]
    if preamble_keys().get(compact(first)) != "units" or not listed:
        return None
    return ", ".join(listed) if all(find_unit(cell) for cell in listed) else None


def _whole(sheet: Sheet, key: str, text: str) -> str:
    """The rest of the line after its key, where the delimiter of the table cut it short."""
    for line in sheet.structure:
        rest = line.text.strip().strip('"').removeprefix(key).lstrip(' :=,;\t|"')
        if line.text.strip().strip('"').startswith(key) and rest.startswith(text):
            return re.sub(r"[\s,;|\"]+$", "", rest)
    return text


def settled_day(text: str) -> date | None:
    """The day of a text whose date order is settled by its form."""
    stamp = read_stamp(text) if text else None
    return _settled(stamp)


def _settled(stamp: Stamp | None) -> date | None:
    if stamp is None or stamp.form not in {YEAR_FIRST, DAY_FIRST}:
        return None
    return resolved(stamp, None)


def day_in_name(name: str) -> date | None:
    """The only day in a file name such as `range_2026-03-14.csv`."""
    found = {match.groups() for match in _DAY_IN_NAME.finditer(name)}
    if len(found) != 1:
        return None
    year, month, day = map(int, found.pop())
    return settled_day(f"{year:04d}-{month:02d}-{day:02d}")


def _title_days(sheet: Sheet) -> list[date]:
    found = []
    for line in sheet.structure:
        if line.kind in _TITLES and not NOT_THE_DAY.search(line.text):
            for match in _DAY_WRITTEN.finditer(line.text):
                day = settled_day(match[1])
                if day and (line.kind != "section" or is_day_title(line.text, match[1])):
                    found.append(day)
    return found if len(set(found)) == 1 else []


def _sign(sheet: Sheet, said: Mapping[str, str]) -> int | None:
    stated = sign_stated(said["direction"]) if "direction" in said else None
    if stated is not None:
        return stated
    found = {
        sign
        for line in sheet.structure
        if line.kind in _NOTES and line.text
        for sign in [sign_stated(line.text)]
        if sign is not None
    }
    return found.pop() if len(found) == 1 else None
