"""Names of weekdays beside a date, in ten languages: `Fri 03/04/2026`, `2026/05/14(木)`."""

import re
from functools import cache

from ingest.words import languages, without_accents

_LEADING = re.compile(r"^([^\W\d_]{1,12})\.?,?\s*(?=\d)")
_BEHIND = re.compile(r"^\s*[(（]?([^\W\d_]{1,12})\.?[)）]?,?(?=\s|$)")


def leading_weekday(text: str) -> tuple[int | None, str]:
    """(0 for Monday … 6, the text after it); (None, text) when it begins with no weekday."""
    return _taken(_LEADING.match(text), text)


def weekday_behind(rest: str) -> tuple[int | None, str]:
    """The same for what stands behind a date."""
    return _taken(_BEHIND.match(rest), rest)


def _taken(found: re.Match[str] | None, text: str) -> tuple[int | None, str]:
    if found is None:
        return None, text
    day = _names().get(without_accents(found[1].casefold()))
    return (day, text[found.end() :]) if day is not None else (None, text)


@cache
def _names() -> dict[str, int]:
    """Folded name or abbreviation → weekday, where it means one only (Unicode CLDR via Babel)."""
    from babel.dates import get_day_names  # noqa: PLC0415 - only files with weekdays need it

    index: dict[str, set[int]] = {}
    for language in languages():
        for width in ("wide", "abbreviated", "short"):
            for number, name in get_day_names(width, "format", language.code).items():
                index.setdefault(without_accents(name.casefold()).rstrip("."), set()).add(number)
    return {name: days.pop() for name, days in index.items() if len(days) == 1}
