"""Dates and times as spreadsheets count them: days since 1899-12-30, the clock as their fraction.

Source of the count: ECMA-376 part 1, section 18.17.4 (1900 date base), exact from March 1900 on.

Rules
- A column is serial when every cell is such a number of the years 1990 to 2100 and either its
  header speaks of a date, or the numbers lie so close together that as seconds they would be no
  sequence of swings, or they are fractions of one day with at least four decimals.
- The clock is exact to the second when it is written with few decimals, else to the millisecond.
"""

import re
from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise

from ingest.times import YEAR_FIRST, Stamp

_NUMBER = re.compile(r"^(\d{1,5})(?:[.,](\d{1,15}))?$")
_DAY_ZERO = date(1899, 12, 30)
_FIRST, LAST_SERIAL = 32874, 73050
_CLOSEST_SWINGS_S = 2.0
_EXACT_DECIMALS = 8
_DAY_US = 86_400_000_000


def serial_role(name: str, cells: Sequence[str]) -> str | None:
    """`stamp`, `date` or `clock` for a column of serials named `when`, `date` or `elapsed`."""
    found = [_NUMBER.match(cell) for cell in cells]
    if not cells or name not in {"when", "date"}:
        return None
    numbers = [(int(one[1]), one[2] or "") for one in found if one]
    if len(numbers) < len(cells):
        return None
    if all(whole == 0 for whole, _ in numbers):
        return "clock" if all(len(rest) >= 4 for _, rest in numbers) else None
    if not all(_FIRST <= whole <= LAST_SERIAL for whole, _ in numbers):
        return None
    whole_days = not any(rest.strip("0") for _, rest in numbers)
    if name == "date":
        return "date" if whole_days else "stamp"
    return None if whole_days or not _too_close(numbers) else "stamp"


def _too_close(numbers: Sequence[tuple[int, str]]) -> bool:
    """Whether the numbers cannot be seconds: the usual step is far below that of two swings."""
    values = [float(f"{whole}.{rest or 0}") for whole, rest in numbers]
    steps = sorted(abs(b - a) for a, b in pairwise(values))
    if not steps:
        return len(numbers[0][1]) >= 4
    return steps[len(steps) // 2] < _CLOSEST_SWINGS_S and any(len(r) >= 4 for _, r in numbers)


def read_serial(text: str, role: str) -> Stamp | None:
    """The stamp of one serial in a column of that role; None for anything else."""
    found = _NUMBER.match(text)
    if found is None:
        return None
    clock_us = _clock_us(found[2] or "")
    if role == "clock":
        return Stamp(None, None, clock_us, has_seconds=True)
    day = _DAY_ZERO + timedelta(days=int(found[1]) + clock_us // _DAY_US)
    numbers = (day.year, day.month, day.day)
    has_clock = role == "stamp"
    return Stamp(numbers, YEAR_FIRST, clock_us % _DAY_US if has_clock else None, has_seconds=True)


def _clock_us(decimals: str) -> int:
    step_us = 1_000 if len(decimals) >= _EXACT_DECIMALS else 1_000_000
    exact = float(f"0.{decimals or 0}") * _DAY_US
    return round(exact / step_us) * step_us
