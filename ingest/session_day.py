"""What else is known about the times of a file: its day, its language's order of dates."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ingest.date_order import DAY_FIRST_LANGUAGES, Order, decide_order, resolved
from ingest.options import Options
from ingest.plan import INSTANT
from ingest.preamble import Told
from ingest.times import read_stamp


@dataclass(frozen=True)
class TimeContext:
    """What else is known about the file."""

    kind: str
    options: Options
    told: Told
    languages: frozenset[str]
    decimal: str | None
    layout_zone: str | None = None
    layout_order: str | None = None
    units: Sequence[str] | None = None


def anchors(context: TimeContext) -> list[date]:
    """Days known from around the table and from the file's name."""
    days = list(context.told.days)
    if context.told.name_day:
        days.append(context.told.name_day)
    return days


def local_order(context: TimeContext, half_day: bool) -> str | None:
    """Day first where every language of the headers writes so and the file agrees with it."""
    spoken = context.languages
    if not spoken or not spoken <= DAY_FIRST_LANGUAGES:
        return None
    return "dmy" if context.decimal == "," or not half_day else None


def known_day(context: TimeContext) -> tuple[date | None, Order | None]:
    """The session's day, or the open order of the date that states it."""
    said = context.options.day or context.options.answers.get(f"day:{INSTANT[context.kind]}")
    if said:
        return date.fromisoformat(said), None
    if context.told.days:
        return context.told.days[0], None
    for key in ("date", "start"):
        stamp = read_stamp(context.told.said.get(key, ""))
        if stamp is not None and stamp.numbers is not None:
            order = decide_order(
                [stamp],
                said=context.options.date_order or context.layout_order,
                anchors=[context.told.name_day] if context.told.name_day else [],
                local_order=local_order(context, stamp.half_day),
                year=context.options.year,
            )
            if order.order is None:
                return None, order
            return resolved(stamp, order.order, context.options.year), None
    return context.told.name_day, None


def days_under(context: TimeContext, order: Order) -> tuple[str, ...]:
    """The days that the date around the table may mean under an open order."""
    texts = [context.told.said.get(key, "") for key in ("date", "start")]
    stamp = next(s for text in texts if (s := read_stamp(text)) is not None and s.numbers)
    days = [resolved(stamp, candidate, context.options.year) for candidate in order.candidates]
    return tuple(day.isoformat() for day in days if day)
