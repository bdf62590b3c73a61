"""Time columns whose cells no rule reads, or read two ways: what they may be, and read as answered.

A form is a pattern of the C standard's date directives (`%d.%m.%y %Hh%M`), or one of
- `serial`: days as spreadsheets count them,
- `clock_h`: hours of the day as a decimal number (`9.25`),
- `elapsed_h`: hours since a start.
Forms are only offered when they read every cell; a file's column is never given one unasked.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from ingest.date_order import FIRST_SHORT_YEAR
from ingest.header_concepts import concepts_of
from ingest.headers import Header
from ingest.numbers import read_number
from ingest.serial_dates import LAST_SERIAL
from ingest.times import YEAR_FIRST, Stamp
from ingest.units import find_unit

WORDS = ("serial", "clock_h", "elapsed_h")
_OF_TIME = frozenset({"time", "moment", "date", "shot", "swing", "number"})
_DAYS = (("%d", "%m", "%Y"), ("%m", "%d", "%Y"), ("%Y", "%m", "%d"))
_SHORT_DAYS = (("%d", "%m", "%y"), ("%m", "%d", "%y"), ("%y", "%m", "%d"))
_CLOCKS = (("%H", "%M", "%S"), ("%H", "%M"))
_DIRECTIVE = re.compile(r"%(.)")
_GROUP = re.compile(r"\d+")
_SHORT_DAY = re.compile(r"\d{6}|[1-9]\d{4}")
_LAST_SHORT_YEAR = 45
_HOURS_IN_DAY = 24.0
_MOST_FORMS = 6
_SAMPLE = 200


@dataclass(frozen=True)
class Doubt:
    """Why the cells of a time column cannot be read as they are, and the forms they may have."""

    candidates: tuple[str, ...]
    why: str


def doubt_of(name: str, cells: Sequence[str], unit: str | None) -> Doubt | None:
    """What is doubtful about a readable time column named `name`; None for most."""
    if name == "date" and (forms := _short_days(cells)):
        if "serial" in forms:
            why = "the numbers may be days that a spreadsheet counts, or dates without a first zero"
            return Doubt(forms, why)
        why = "the digits are a date under each of these forms"
        return Doubt(forms, why)
    if name == "when" and unit == "h" and _are_hours(cells):
        why = "the numbers may be hours of the day, or hours since a start"
        return Doubt(("clock_h", "elapsed_h"), why)
    return None


def unreadable(cells: Sequence[str]) -> Doubt:
    """The question about a column that is called a time and cannot be read as one."""
    why = "most of its cells are no date or clock time in a form that is known"
    return Doubt(_patterns(cells, _templates(cells)), why)


def looks_meant(header: Header, cells: Sequence[str]) -> bool:
    """Whether a column is called a time, plainly, and most of its cells hold digits like one."""
    concepts = concepts_of(header.name)
    if header.unit_text and find_unit(header.unit_text, "time") not in {None, "h"}:
        return False
    if concepts is None or not concepts & {"time", "moment", "date"} or not concepts <= _OF_TIME:
        return False
    sample = cells[:50]
    return 2 * sum(len(re.findall(r"\d", text)) > 1 for text in sample) > len(sample)


def role_of(form: str) -> str:
    """`stamp`, `date`, `clock` or `elapsed`: what a column of that form says."""
    if form in WORDS:
        return {"serial": "date", "clock_h": "clock", "elapsed_h": "elapsed"}[form]
    dated = any(part in form for part in ("%d", "%j"))
    clocked = any(part in form for part in ("%H", "%I"))
    return "stamp" if dated and clocked else "date" if dated else "clock"


def is_form(text: str) -> bool:
    """Whether `text` is a word of this module, or a pattern that can be read by."""
    if text in WORDS:
        return True
    if not _is_whole(text):
        return False
    moment = datetime(2026, 5, 14, 9, 12, 33)
    try:
        datetime.strptime(moment.strftime(text), text)
    except (ValueError, re.error):
        return False
    return True


def _is_whole(pattern: str) -> bool:
    """Whether nothing is left to guess: a day has its month and year, an hour its half of the day.

    What a pattern does not name would silently be that of the year 1900, or of the morning.
    """
    parts = set(_DIRECTIVE.findall(pattern))
    of_day, of_clock = parts & set("djmbByY"), parts & set("HIpMSf")
    in_year = "j" in parts or ("d" in parts and bool(parts & set("mbB")))
    dated, clocked = in_year and bool(parts & set("yY")), "H" in parts or parts >= {"I", "p"}
    return bool(of_day or of_clock) and (dated or not of_day) and (clocked or not of_clock)


def read_form(text: str, form: str) -> Stamp | None:
    """The stamp of a cell under an answered form; None when it does not have that form."""
    if form == "clock_h":
        hours = read_number(text, ",", "time").value if "," in text else _plain(text)
        inside = hours is not None and 0 <= hours < _HOURS_IN_DAY
        return Stamp(None, None, round((hours or 0.0) * 3600) * 1_000_000) if inside else None
    padded = text.zfill(6) if _SHORT_DAY.fullmatch(text) else text
    try:
        moment = datetime.strptime(padded, form)
    except ValueError:
        return None
    role = role_of(form)
    clock = (moment.hour * 60 + moment.minute) * 60 + moment.second
    clock_us = clock * 1_000_000 + moment.microsecond if role != "date" else None
    if role == "clock":
        return Stamp(None, None, clock_us, has_seconds=True)
    return Stamp((moment.year, moment.month, moment.day), YEAR_FIRST, clock_us, has_seconds=True)


def _plain(text: str) -> float | None:
    return read_number(text, ".", "time").value


def _short_days(cells: Sequence[str]) -> tuple[str, ...]:
    """What `140526`, or `40526` with its first zero lost, may be in every cell; mostly nothing."""
    if not cells or not all(map(_SHORT_DAY.fullmatch, cells)):
        return ()
    padded = [text.zfill(6) for text in cells]
    forms = [form for parts in _SHORT_DAYS if _all_near(padded, form := "".join(parts))]
    counted = all(len(text) == 5 and int(text) <= LAST_SERIAL for text in cells)
    return (("serial", *forms) if counted else tuple(forms)) if forms else ()


def _all_near(cells: Sequence[str], form: str) -> bool:
    """Whether every cell is a day of our years under `form`."""
    stamps = [read_form(text, form) for text in cells]
    years = [stamp.numbers[0] - 2000 for stamp in stamps if stamp and stamp.numbers]
    near = (FIRST_SHORT_YEAR <= year <= _LAST_SHORT_YEAR for year in years)
    return len(years) == len(cells) and all(near)


def _are_hours(cells: Sequence[str]) -> bool:
    """Rising plain numbers below 24."""
    hours = [_plain(text.replace(",", ".")) for text in cells]
    known = [hour for hour in hours if hour is not None and 0 <= hour < _HOURS_IN_DAY]
    rising = all(a <= b for a, b in pairwise(known))
    return bool(cells) and len(known) == len(cells) and rising and all(":" not in t for t in cells)


def _templates(cells: Sequence[str]) -> list[tuple[str, ...]]:
    """Orders of date and clock directives, one for each run of digits of the first cell."""
    runs = _GROUP.findall(cells[0]) if cells else []
    days = [*_DAYS, *_SHORT_DAYS]
    joined = [*days, *_CLOCKS, *((*day, *clock) for day in days for clock in _CLOCKS)]
    if len(runs) == 1:
        width = len(runs[0])
        return [parts for parts in joined if sum(4 if p == "%Y" else 2 for p in parts) == width]
    return [parts for parts in joined if len(parts) == len(runs)]


def _patterns(cells: Sequence[str], templates: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    """The templates, put where the runs of digits are, that read every cell."""
    sample = cells[:_SAMPLE]
    found: dict[str, None] = {}
    for parts in templates:
        form = _put(sample[0], parts) if sample else ""
        if form and all(read_form(text, form) is not None for text in sample):
            found[form] = None
    return tuple(found)[:_MOST_FORMS]


def _put(text: str, parts: Sequence[str]) -> str:
    """`text` with its runs of digits replaced by directives; a lone run takes all of them."""
    left = list(parts)
    one_run = len(_GROUP.findall(text)) == 1
    whole = "".join(parts)
    return _GROUP.sub(lambda _: whole if one_run else left.pop(0), text.replace("%", "%%"))
