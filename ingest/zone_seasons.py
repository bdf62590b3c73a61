"""Zone abbreviations that hold for half the year, said of days in the other half.

`CET` on a day in July may mean one hour ahead of UTC, as it says, or the clocks of central Europe,
which are two ahead. Only abbreviations that people also use as the name of a region are looked at.
"""

from collections.abc import Iterable
from datetime import date, datetime, time
from functools import lru_cache
from zoneinfo import ZoneInfo

from ingest.zone_texts import read_zone

REGIONS = {
    "CET": "Europe/Berlin",
    "CEST": "Europe/Berlin",
    "MEZ": "Europe/Berlin",
    "MESZ": "Europe/Berlin",
    "EET": "Europe/Helsinki",
    "EEST": "Europe/Helsinki",
    "WET": "Europe/Lisbon",
    "WEST": "Europe/Lisbon",
    "EST": "America/New_York",
    "EDT": "America/New_York",
    "CST": "America/Chicago",
    "CDT": "America/Chicago",
    "MST": "America/Denver",
    "MDT": "America/Denver",
    "PST": "America/Los_Angeles",
    "PDT": "America/Los_Angeles",
}


def out_of_season(text: str, days: Iterable[date]) -> tuple[str, ...] | None:
    """The zones that an abbreviation may mean when it is not in use on one of `days`, else None."""
    region = REGIONS.get(text.strip().strip("()").upper())
    offset_min, _ = read_zone(text)
    if region is None or offset_min is None:
        return None
    if all(_offset_min(region, day) == offset_min for day in set(days)):
        return None
    sign = "-" if offset_min < 0 else "+"
    return f"{sign}{abs(offset_min) // 60:02d}:{abs(offset_min) % 60:02d}", region


@lru_cache(maxsize=4096)
def _offset_min(region: str, day: date) -> int:
    offset = datetime.combine(day, time(12), ZoneInfo(region)).utcoffset()
    assert offset is not None
    return int(offset.total_seconds() // 60)
