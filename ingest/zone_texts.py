"""Zones as written: an offset, `Z`, `UTC`/`GMT` with or without offset, a name or an abbreviation.

An abbreviation counts where RFC 5322 or common European and East Asian use gives it one meaning.
"""

import re
from functools import cache
from zoneinfo import available_timezones

OFFSET = re.compile(r"(?:\b(?:UTC|GMT)\s*)?([+\-−])\s?(\d{1,2})(?::?(\d{2}))?$", re.IGNORECASE)

RFC_5322_ZONES = {
    "EST": -5,
    "EDT": -4,
    "CST": -6,
    "CDT": -5,
    "MST": -7,
    "MDT": -6,
    "PST": -8,
    "PDT": -7,
}
"""Source: RFC 5322 section 4.3 (obsolete zones), in hours."""
PLAIN_ZONES = {
    "UTC": 0,
    "GMT": 0,
    "Z": 0,
    "WET": 0,
    "WEST": 1,
    "CET": 1,
    "CEST": 2,
    "EET": 2,
    "EEST": 3,
}
PLAIN_ZONES |= {"MEZ": 1, "MESZ": 2, "JST": 9, "KST": 9}
"""Hours of abbreviations with one common meaning (common practice, no source)."""


def offset_minutes(found: re.Match[str]) -> int:
    """Minutes east of UTC of a match of `OFFSET`."""
    minutes = int(found[2]) * 60 + int(found[3] or 0)
    return -minutes if found[1] in "-−" else minutes


def read_zone(text: str) -> tuple[int | None, str | None]:
    """A zone text as (minutes east of UTC, None) or (None, IANA name); (None, None) if unknown."""
    plain = text.strip().strip("()[]").strip()
    hours = {**RFC_5322_ZONES, **PLAIN_ZONES}.get(plain.upper())
    if hours is not None:
        return hours * 60, None
    if plain in _zone_names():
        return None, plain
    lower = _lower_zones().get(plain.casefold().replace(" ", "_"))
    if lower:
        return None, lower
    found = re.fullmatch(r"(?:UTC|GMT)?\s*([+\-−])\s?(\d{1,2})(?::?(\d{2}))?(?:\s*h)?", plain, re.I)
    if found and int(found[2]) <= 14:
        return offset_minutes(found), None
    inside = re.search(
        r"[A-Z][A-Za-z]+(?:/[A-Za-z_\-]+)+|(?:UTC|GMT)\s*[+\-−]\d{1,2}(?::?\d{2})?", plain
    )
    if inside and inside[0] != plain:
        return read_zone(inside[0])
    return None, None


@cache
def _zone_names() -> frozenset[str]:
    return frozenset(name for name in available_timezones() if "/" in name)


@cache
def _lower_zones() -> dict[str, str]:
    return {name.casefold(): name for name in _zone_names()}
