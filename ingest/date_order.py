"""Day before month or month before day: decided for a whole column, or left open.

Rules, in this order
1. What the user, the header or the preamble says (`dd/mm/yyyy`).
2. The column itself: an order under which some date does not exist, or is another weekday than the
   cell says, is out. Two-digit years before
   2015 count as not existing. A two-digit year comes first only where the headers' language writes
   it so (Swedish, Japanese, Korean), or when no other order is left.
3. A date known from elsewhere (preamble, file name) that the column holds under one order only.
4. An order that the language of the headers never departs from, when the numbers or the clock
   agree with that language. Source: Unicode CLDR date formats; German, French, Swedish,
   Portuguese, Italian and Dutch put the day first, Spanish and English differ by country.
5. All orders left give the same dates (`04/04/2026`): nothing is open.
Otherwise the order is a question.
"""

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from ingest.times import DAY_FIRST, NO_YEAR, OPEN, OPEN_DOTTED, YEAR_FIRST, Stamp

DAY_FIRST_LANGUAGES = frozenset({"de", "fr", "sv", "pt", "it", "nl"})
YEAR_FIRST_LANGUAGES = frozenset({"sv", "ja", "ko"})
_CANDIDATES = {OPEN: ("dmy", "mdy", "ymd"), OPEN_DOTTED: ("dmy", "ymd"), NO_YEAR: ("dmy", "mdy")}
FIRST_SHORT_YEAR = 15
_LETTERS = {"d": "d", "t": "d", "g": "d", "m": "m", "y": "y", "a": "y", "å": "y"}


@dataclass(frozen=True)
class Order:
    """The order when it is settled, else None with the orders still possible, and why."""

    order: str | None
    candidates: tuple[str, ...] = ()
    why: str = ""


def day_of(numbers: tuple[int, ...], order: str, year: int | None = None) -> date | None:
    """The calendar day that `numbers` mean under `order`; None when there is no such day."""
    parts = dict(zip(order if len(numbers) == 3 else order.replace("y", ""), numbers, strict=True))
    full = parts.get("y", year)
    if full is None:
        return None
    if full < 100:
        full = 2000 + full if full >= FIRST_SHORT_YEAR else 0
    try:
        return date(full, parts["m"], parts["d"])
    except ValueError:
        return None


def decide_order(
    stamps: Iterable[Stamp],
    *,
    said: str | None = None,
    anchors: Collection[date] = (),
    local_order: str | None = None,
    year_leads: bool = False,
    year: int | None = None,
) -> Order:
    """The order of the open dates among `stamps`.

    Args:
        said: an order stated by user, header or preamble.
        anchors: days known from elsewhere.
        local_order: the order of the headers' language, when the file agrees with that language.
        year_leads: the headers' language writes the year first.
        year: the year of dates without one.
    """
    stamps = tuple(stamps)
    found = {(s.numbers, s.form) for s in stamps if s.numbers and s.form in _CANDIDATES}
    dates = {numbers for numbers, _ in found if numbers is not None}
    if not dates:
        return Order("ymd")
    if said:
        return Order(said, (), "as stated")
    forms = {form for _, form in found}
    possible = [o for o in ("dmy", "mdy", "ymd") if all(o in _CANDIDATES[f] for f in forms if f)]
    named = {
        (s.numbers, s.weekday)
        for s in stamps
        if s.numbers and s.weekday is not None and s.form in _CANDIDATES
    }
    possible = [o for o in possible if _weekdays_agree(named, o, year)] or possible
    fit = {o: days for o in possible if (days := _days(dates, o, year)) is not None}
    if len(fit) > 1 and not year_leads:
        fit.pop("ymd", None)
    if not fit:
        return Order(None, tuple(possible), "no single order makes every date of the column exist")
    return _among(fit, anchors, local_order)


def _among(
    fit: Mapping[str, list[date]], anchors: Collection[date], local_order: str | None
) -> Order:
    """The one of several possible orders that something else settles."""
    if len({tuple(days) for days in fit.values()}) == 1:
        return Order(next(iter(fit)), (), "the only order under which every date exists")
    near = [o for o, days in fit.items() if any(_near(day, anchors) for day in days)]
    if anchors and len(near) == 1:
        return Order(near[0], (), "agrees with the date stated elsewhere in the file")
    if local_order in fit:
        return Order(local_order, (), "the order of the language of the headers")
    return Order(None, tuple(fit), "every date of the column exists under each of these orders")


def _days(dates: Iterable[tuple[int, ...]], order: str, year: int | None) -> list[date] | None:
    days = []
    for numbers in sorted(dates):
        if order == "ymd" and numbers[-1] > 31:
            return None
        day = day_of(numbers, order, year or 2024)
        if day is None:
            return None
        days.append(day)
    return days


def _weekdays_agree(
    named: Collection[tuple[tuple[int, ...], int | None]], order: str, year: int | None
) -> bool:
    days = [(day_of(numbers, order, year or 2024), weekday) for numbers, weekday in named]
    return all(day is not None and day.weekday() == weekday for day, weekday in days)


def _near(day: date, anchors: Collection[date]) -> bool:
    return any(abs((day - anchor).days) <= 1 for anchor in anchors)


def order_from_text(text: str) -> str | None:
    """`dd/mm/yyyy`, `TT.MM.JJJJ`, `jj/mm/aaaa`, "day first" as an order; None for anything else."""
    lower = text.casefold()
    if "day first" in lower or "day/month" in lower:
        return "dmy"
    if "month first" in lower or "month/day" in lower:
        return "mdy"
    runs = re.findall(r"([a-zå])\1+|\b([dmy])\b", lower)
    whole = [match[0] for match in re.finditer(r"([a-zå])\1*", lower)]
    if len(whole) != 3 or len(runs) < 2:
        return None
    letters = ["y" if len(run) == 4 else _LETTERS.get(run[0], "") for run in whole]
    if letters.count("") == 1 and "m" in letters:
        letters[letters.index("")] = ({"d", "m", "y"} - set(letters)).pop()
    order = "".join(letters)
    return order if sorted(order) == ["d", "m", "y"] else None


def resolved(stamp: Stamp, order: str | None, year: int | None = None) -> date | None:
    """The calendar day of `stamp` under the column's order; None when open or impossible."""
    if stamp.numbers is None:
        return None
    if stamp.form in {YEAR_FIRST, DAY_FIRST}:
        return day_of(stamp.numbers, stamp.form or "ymd", year)
    return day_of(stamp.numbers, order, year) if order else None
