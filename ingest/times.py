"""Dates and clock times as written, taken apart without deciding what is ambiguous.

Rules
- A date is taken apart into its numbers in the order written. Year first (`2026-03-14`), a named
  month (`14 mars 2026`) or a dotted date (`14.03.2026`, day first wherever it is used) is settled
  by its form; `03/04/2026` is not, and `ingest/date_order.py` decides it for the whole column.
- A clock time may have 24 or 12 hours (with the day-half word of any of the ten languages),
  seconds or none, and decimals after either sign.
- Week dates and ordinal dates of ISO 8601 are read too; a weekday beside a date is kept.
- Zones are read by `ingest/zone_texts.py`.
"""

import re
import unicodedata
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache, lru_cache

from ingest.weekdays import leading_weekday, weekday_behind
from ingest.words import languages, without_accents
from ingest.zone_texts import OFFSET, offset_minutes, read_zone

YEAR_FIRST, DAY_FIRST, OPEN, OPEN_DOTTED, NO_YEAR = "ymd", "dmy", "open", "open_dotted", "no_year"

_YMD = re.compile(
    r"^(\d{4})\s*([-/._]|年|년)\s*(\d{1,2})\s*(?:[-/._]|月|월)\s*(\d{1,2})\s*(?:日|일|\.)?(?=$|[\sT,])"
)
_REGULAR = re.compile(  # what most devices write, read without a second look
    r"((?:19[5-9]|20\d|21\d)\d)-(\d\d)-(\d\d)[T ]([01]\d|2[0-3]):([0-5]\d):([0-5]\d)", re.ASCII
)
_XXY = re.compile(r"^(\d{1,2})\s*([-/.])\s*(\d{1,2})\s*\2\s*(\d{4}|\d{2})(?=$|[\sT,;])")
_XX = re.compile(r"^(\d{1,2})([./])(\d{1,2})\.?(?=$|\s)")
_BASIC = re.compile(r"^(\d{4})(\d{2})(\d{2})(?=$|[\sT_-]|\d{4}(?:\d{2}(?:\d{3})?)?$)")
_WEEK = re.compile(r"^(\d{4})-?W(\d{2})-?([1-7])(?=$|[\sT])")
_ORDINAL = re.compile(r"^(\d{4})-(\d{3})(?=$|[\sT])")
_NAMED_DAY_FIRST = re.compile(
    r"^(\d{1,2})(?:st|nd|rd|th|er|\.|º|ª)?[\s\-/]*(?:de |di |d')?\s*([^\W\d_]+)\.?,?"
    r"[\s\-/]*(?:de |di |del )?\s*(\d{4}|\d{2})(?=$|[\s,T])"
)
_NAMED_MONTH_FIRST = re.compile(
    r"^([^\W\d_]+)\.?[\s\-/]*(\d{1,2})(?:st|nd|rd|th)?,?[\s\-/]+(\d{4})(?=$|[\s,T])"
)
_CLOCK = re.compile(
    r"^(\d{1,2})\s*(?:[:.hH]|時|시|Uhr)\s*(\d{1,2})?\s*(?:m|min|分|분)?"
    r"(?:\s*[:.]?\s*(\d{1,2})(?:[.,:](\d{1,9}))?\s*(?:s|sec|秒|초)?)?"
    r"\s*(?:Uhr|h|hrs?|hours?)?$"
)
_SHORT_DOTTED = re.compile(r"^\d{1,2}\.\d(?!\d)")
_CLOCK_BASIC = re.compile(r"^(\d{2})(\d{2})(?:(\d{2})(?:[.,]?(\d{1,9}))?)?$")
_LEAD_IN = re.compile(r"^(?:at|um|à|às|a las|alle|ore|om|kl\.?)\s+(?=\d)", re.IGNORECASE)
_YEAR_LAST = re.compile(
    r"^(?:[A-Za-z]{3} )?([A-Za-z]{3} {1,2}\d{1,2}) (\d{2}:\d{2}:\d{2}(?:\.\d+)?) (\d{4})$"
)
_NO_DAY = re.compile(r"^(?:1899-12-3[01]|1900-01-0[01]|1904-01-01)[ T](?=\d{2}:\d{2})")
"""The day that spreadsheets put before a clock time that has none."""
_SPELT_ZONE = re.compile(r"((?:GMT|UTC)[+\-]\d{2}:?\d{2}) \([^()]*\)$")
_WEEKDAY_END = re.compile(r"^[^\W\d_]{2,12}\.?,?\s+(?=\d|[^\W\d_]{3,12}\.?\s+\d)")


@dataclass(frozen=True)
class Stamp:
    """A time text taken apart.

    `numbers` are the three date numbers as written (two for a date without year); `form` says how
    far their order is settled; `weekday` is 0 for a stated Monday. `clock_us` is microseconds after
    midnight. `offset_min` is east of UTC; `zone` an IANA name.
    """

    numbers: tuple[int, ...] | None = None
    form: str | None = None
    clock_us: int | None = None
    offset_min: int | None = None
    zone: str | None = None
    has_seconds: bool = False
    half_day: bool = False
    weekday: int | None = None


@lru_cache(maxsize=65536)
def read_stamp(text: str) -> Stamp | None:
    """`text` taken apart; None when it is no date, no clock time and no pair of them."""
    if found := _REGULAR.fullmatch(text):
        year, month, day, hour, minute, second = map(int, found.groups())
        clock_us = ((hour * 60 + minute) * 60 + second) * 1_000_000
        return Stamp((year, month, day), YEAR_FIRST, clock_us, has_seconds=True)
    plain = " ".join(unicodedata.normalize("NFKC", text).replace("−", "-").split())
    plain = _NO_DAY.sub("", plain)
    plain = _YEAR_LAST.sub(r"\1 \3 \2", plain)
    plain = _SPELT_ZONE.sub(r"\1", plain)
    numbers, form, rest = _take_date(plain)
    weekday = None
    if numbers is None:
        weekday, after = leading_weekday(plain)
        numbers, form, rest = _take_date(after) if weekday is not None else (None, None, rest)
    if numbers is not None and weekday is None:
        weekday, rest = weekday_behind(rest)
    stamp = _with_clock(numbers, form, rest)
    return replace(stamp, weekday=weekday) if stamp is not None and weekday is not None else stamp


def _with_clock(numbers: tuple[int, ...] | None, form: str | None, rest: str) -> Stamp | None:
    """The stamp of a date that was taken apart and the text after it."""
    rest = _LEAD_IN.sub("", rest.lstrip(" T,;_").strip())
    if not rest:
        return Stamp(numbers, form) if numbers else None
    rest, offset, zone = _take_zone(rest, dated=numbers is not None)
    if not rest:
        return Stamp(numbers, form, None, offset, zone) if numbers else None
    clock = _read_clock(rest, dated=numbers is not None)
    if clock is None:
        return None
    clock_us, has_seconds, half_day = clock
    return Stamp(numbers, form, clock_us, offset, zone, has_seconds, half_day)


def _take_date(text: str) -> tuple[tuple[int, ...] | None, str | None, str]:
    """The numbers of a leading date, how far their order is settled, and the text after it."""
    if found := _YMD.match(text) or _BASIC.match(text):
        parts = [part for part in found.groups() if part.isdigit()]
        if len(parts) == 3 and 1900 <= int(parts[0]) <= 2199:
            return tuple(map(int, parts)), YEAR_FIRST, text[found.end() :]
    if (found := _WEEK.match(text) or _ORDINAL.match(text)) and (day := _counted(found)):
        return (day.year, day.month, day.day), YEAR_FIRST, text[found.end() :]
    if found := _XXY.match(text):
        dotted = DAY_FIRST if len(found[4]) == 4 else OPEN_DOTTED
        form = dotted if found[2] == "." else OPEN
        numbers = (int(found[1]), int(found[3]), int(found[4]))
        return numbers, form, text[found.end() :]
    named = _take_named(text)
    if named is not None:
        return named
    if (found := _XX.match(text)) and (found[2] == "/" or found[0].endswith(".")):
        return (int(found[1]), int(found[3])), NO_YEAR, text[found.end() :]
    return None, None, text


def _counted(found: re.Match[str]) -> date | None:
    """The day of an ISO 8601 week date or ordinal date."""
    parts = [int(part) for part in found.groups()]
    try:
        if len(parts) == 3:
            return date.fromisocalendar(*parts)
        day = date(parts[0], 1, 1) + timedelta(days=parts[1] - 1)
    except ValueError:
        return None
    return day if day.year == parts[0] and parts[1] else None


def _take_named(text: str) -> tuple[tuple[int, ...], str, str] | None:
    """A date with a named month, after a weekday or not."""
    if not any(char.isalpha() for char in text):
        return None
    for candidate in (text, _WEEKDAY_END.sub("", text)):
        lower = without_accents(candidate.casefold())
        if found := _NAMED_DAY_FIRST.match(lower):
            month, day, year = _month(found[2]), int(found[1]), found[3]
        elif found := _NAMED_MONTH_FIRST.match(lower):
            month, day, year = _month(found[1]), int(found[2]), found[3]
        else:
            continue
        if month:
            full = int(year) if len(year) == 4 else 2000 + int(year)
            return (full, month, day), YEAR_FIRST, candidate[found.end() :]
    return None


@cache
def _months() -> dict[str, int]:
    """Month names and their abbreviations in the ten languages (Unicode CLDR, through Babel)."""
    from babel.dates import get_month_names  # noqa: PLC0415 - only files with named months need it

    index: dict[str, int] = {}
    for language in languages():
        for width in ("wide", "abbreviated"):
            for context in ("format", "stand-alone"):
                for number, name in get_month_names(width, context, language.code).items():
                    index[without_accents(name.casefold()).rstrip(".")] = number
    index.update(
        {"sept": 9, "mrz": 3, "mar": 3, "marz": 3, "mai": 5, "set": 9, "ago": 8, "okt": 10}
    )
    return index


def _month(name: str) -> int | None:
    return _months().get(name.rstrip("."))


def _take_zone(text: str, dated: bool) -> tuple[str, int | None, str | None]:
    """`text` without its zone, and the zone as an offset in minutes or an IANA name."""
    bracket = re.search(r"\s*[\[(]([A-Za-z_/+\-0-9]+)[\])]$", text)
    if bracket:
        inner, offset, zone = text[: bracket.start()], *read_zone(bracket[1])
        if offset is not None or zone is not None:
            outer, outer_offset, _ = _take_zone(inner, dated)
            return outer, outer_offset if outer_offset is not None else offset, zone
    word = re.search(r"(?:(?<=[\d\s])|^)([A-Za-z]{1,5}|[A-Z][A-Za-z]+(?:/[A-Za-z_\-]+)+)$", text)
    if word and word[1].upper() not in {"AM", "PM", "A", "P", "H", "S", "M"}:
        offset, zone = read_zone(word[1])
        if offset is not None or zone is not None:
            return text[: word.start()].strip(), offset, zone
    found = OFFSET.search(text)
    if found and (dated or ":" in text[: found.start()]) and found.start() > 0:
        return text[: found.start()].strip(), offset_minutes(found), None
    return text, None, None


_HALVES = {
    "am": 0, "a": 0, "pm": 12, "p": 12, "vorm": 0, "nachm": 12, "vormittags": 0, "nachmittags": 12,
    "matin": 0, "fm": 0, "em": 12, "f m": 0, "e m": 12, "午前": 0, "午後": 12,
    "오전": 0, "오후": 12,
    "a m": 0, "p m": 12,
}  # fmt: skip


def _read_clock(text: str, dated: bool) -> tuple[int, bool, bool] | None:
    """Microseconds after midnight, whether seconds were written, whether in 12-hour form."""
    half, bare = _take_half(text)
    if _SHORT_DOTTED.match(bare):
        return None
    found = _CLOCK.match(bare) or (_CLOCK_BASIC.match(bare) if dated else None)
    if found is None and half is not None:
        found = re.match(r"^(\d{1,2})()()()$", bare)
    if found is None or (found[2] is None and half is None and not re.search(r"[hH時시U]", bare)):
        return None
    hour, minute, second = int(found[1]), int(found[2] or 0), int(found[3] or 0)
    if half is not None:
        if not 1 <= hour <= 12:
            return (
                None if not (half == 12 and 13 <= hour <= 23) else _us(hour, minute, second, found)
            )
        hour = hour % 12 + half
    return _us(hour, minute, second, found, half is not None)


def _us(
    hour: int, minute: int, second: int, found: re.Match[str], half: bool = False
) -> tuple[int, bool, bool] | None:
    if hour > 23 or minute > 59 or second > 60:
        return None
    micro = int((found[4] or "0")[:6].ljust(6, "0")) if found[3] else 0
    return (
        ((hour * 60 + minute) * 60 + second) * 1_000_000 + micro,
        found[3] is not None,
        half,
    )


def _take_half(text: str) -> tuple[int | None, str]:
    """0 for before noon, 12 for after, None for a 24-hour clock; and the text without the word."""
    lower = without_accents(text.casefold())
    tail = re.search(r"\s*([^\W\d_]\.?\s?[^\W\d_]?\.?[^\W\d_]*)\.?$", lower)
    if tail:
        half = _HALVES.get(" ".join(tail[1].replace(".", " ").split()))
        half = _HALVES.get(tail[1].replace(".", "")) if half is None else half
        if half is not None:
            return half, text[: tail.start()].strip()
    head = re.match(r"^(午前|午後|오전|오후|am|pm)\s*", lower)
    if head:
        return _HALVES[head[1]], text[head.end() :].strip()
    return None, text
