"""How the time columns of a file become instants, and what about them stays open.

Rules
- A column of full stamps or epoch numbers stands alone; else a date and a clock column go
  together; else clock times take their day from the preamble, the title or the file's name; else
  elapsed times count from a stated start.
- A zone is looked for in the cells, the header, the user's option, the preamble, the layout and
  the player's usual zone, in this order. Without one, local times are a question.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import polars as pl

from ingest.date_order import (
    DAY_FIRST_LANGUAGES,
    YEAR_FIRST_LANGUAGES,
    Order,
    decide_order,
    order_from_text,
    resolved,
)
from ingest.headers import read_header
from ingest.numbers import read_number
from ingest.options import Options
from ingest.plan import INSTANT, TimePlan
from ingest.preamble import Told
from ingest.times import NO_YEAR, Stamp, read_stamp, read_zone
from ingest.units import find_unit

COMMON_ZONES = (
    "UTC",
    "Europe/London",
    "Europe/Berlin",
    "America/New_York",
    "America/Chicago",
    "America/Denver",
    "America/Los_Angeles",
    "Asia/Tokyo",
    "Asia/Seoul",
)
_EPOCHS = {9: "epoch_s", 10: "epoch_s", 12: "epoch_ms", 13: "epoch_ms", 15: "epoch_us"}
_EPOCHS |= {16: "epoch_us", 18: "epoch_ns", 19: "epoch_ns"}
_UTC_WORD = re.compile(r"(?:^|[\s_(\[])(?:utc|gmt|z|zulu)(?:$|[\s_)\]])", re.IGNORECASE)
_DOTTED = re.compile(r"^\d{1,2}\.\d{2}\.\d{2}(?:[.,]\d+)?$")


@dataclass(frozen=True)
class Open:
    """One open point of the time plan."""

    kind: str
    candidates: tuple[str, ...]
    why: str


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


@dataclass(frozen=True)
class _Column:
    index: int
    header: str
    role: str
    stamps: tuple[Stamp, ...]
    dotted: bool = False


def plan_time(
    roles: Sequence[tuple[int, str, str]], texts: pl.DataFrame, context: TimeContext
) -> tuple[TimePlan | None, list[Open], list[int]]:
    """(plan, open points, indices of time columns that are not used).

    `roles` are (index, header, `when` | `date` | `elapsed` | `zone`) as the headers name them.
    """
    columns = [_classify(role, texts, context) for role in roles]
    used = _choose(columns)
    unused = [column.index for column in columns if column not in used]
    if not used or all(column.role == "zone" for column in used):
        return None, [], [column.index for column in columns]
    plan = TimePlan(
        INSTANT[context.kind],
        tuple((column.index, column.header, column.role) for column in used),
        decimal=context.decimal or ".",
        dotted_clock=any(column.dotted for column in used),
    )
    opened: list[Open] = []
    if not used[0].role.startswith("epoch"):
        plan = _with_order(plan, used, context, opened)
        plan = _with_day(plan, used, context, opened)
        plan = _with_start(plan, used, context, opened)
        plan = _with_zone(plan, used, context, opened)
    plan = replace(plan, open=tuple(point.kind for point in opened))
    return plan, opened, unused


def _classify(role: tuple[int, str, str], texts: pl.DataFrame, context: TimeContext) -> _Column:
    index, header, name = role
    cells = texts.to_series(index).drop_nulls().unique(maintain_order=True).head(20000).to_list()
    if name == "zone":
        return _Column(index, header, "zone", ())
    epoch = _epoch(cells)
    if epoch:
        return _Column(index, header, epoch, ())
    unit = read_header(header, True).unit_text
    if _is_elapsed(cells, name, unit):
        return _Column(index, header, "elapsed", ())
    stamps = [stamp for text in cells if (stamp := read_stamp(text)) is not None]
    dotted = _all_dotted_clocks(cells, stamps)
    if dotted:
        clocks = [read_stamp(text.replace(".", ":", 2)) for text in cells if _DOTTED.match(text)]
        return _Column(index, header, "clock", tuple(s for s in clocks if s), True)
    dated = sum(stamp.numbers is not None for stamp in stamps)
    clocked = sum(stamp.clock_us is not None for stamp in stamps)
    if dated * 2 >= len(stamps) and stamps:
        return _Column(index, header, "stamp" if clocked else "date", tuple(stamps))
    return _Column(index, header, "clock", tuple(stamps))


def _epoch(cells: Sequence[str]) -> str | None:
    """The epoch unit when nine cells of ten have the digits of one."""
    if not cells:
        return None
    kinds = [
        _EPOCHS.get(len(found[1]))
        for text in cells
        if (found := re.match(r"^(\d{9,19})(?:[.,]\d+)?$", text))
    ]
    common = max(set(kinds), key=kinds.count) if kinds else None
    return common if common and kinds.count(common) >= 0.9 * len(cells) else None


def _is_elapsed(cells: Sequence[str], name: str, unit: str | None) -> bool:
    """Plain numbers, or minutes and seconds with decimals or beyond a day's hours."""
    if not cells:
        return False
    numeric = sum(bool(re.fullmatch(r"\+?\d{1,7}(?:[.,]\d+)?\s*(?:s|ms|sec)?", t)) for t in cells)
    if numeric >= 0.9 * len(cells) and not all(len(t) == 8 and t.isdigit() for t in cells):
        return True
    clocks = [re.fullmatch(r"(?:(\d+):)?(\d{1,3}):(\d{2})(?:[.,]\d+)?", text) for text in cells]
    if not all(clocks):
        return False
    if name == "elapsed" or (unit and find_unit(unit, "time")):
        return True
    return any(found and found[1] is None and int(found[2]) > 23 for found in clocks) or all(
        found and found[1] is None and re.search(r"[.,]", found[0]) for found in clocks
    )


def _all_dotted_clocks(cells: Sequence[str], stamps: Sequence[Stamp]) -> bool:
    """`10.23.05`: dates by form, but some are no date and all are a clock time."""
    if not cells or not all(_DOTTED.match(text) for text in cells):
        return False
    order = decide_order(stamps)
    impossible = order.order is None and "no single order" in order.why
    clocks = all(read_stamp(text.replace(".", ":", 2)) for text in cells)
    return impossible and clocks


def _choose(columns: Sequence[_Column]) -> list[_Column]:
    """The columns that make the instant, in the order of the module's rules."""
    zone = [column for column in columns if column.role == "zone"][:1]
    epochs = [column for column in columns if column.role.startswith("epoch")]
    stamps = [column for column in columns if column.role == "stamp"]
    if stamps or epochs:
        sure = [c for c in stamps if _says_zone(c)] or epochs or stamps
        return [sure[0]] if sure[0].role.startswith("epoch") else [sure[0], *zone]
    dates = [column for column in columns if column.role == "date"][:1]
    clocks = [column for column in columns if column.role == "clock"][:1]
    if dates or clocks:
        return [*dates, *clocks, *zone]
    elapsed = [column for column in columns if column.role == "elapsed"][:1]
    return [*elapsed, *zone]


def _says_zone(column: _Column) -> bool:
    own = all(stamp.offset_min is not None or stamp.zone for stamp in column.stamps)
    return own or _header_zone(column.header) != (None, None)


def _header_zone(header: str) -> tuple[int | None, str | None]:
    for aside in read_header(header, True).asides:
        found = read_zone(aside)
        if found != (None, None):
            return found
    last = header.replace("_", " ").split()[-1:] or [""]
    found = read_zone(last[0]) if len(last[0]) > 1 else (None, None)
    return (0, None) if found == (None, None) and _UTC_WORD.search(header) else found


def _with_order(
    plan: TimePlan, used: Sequence[_Column], context: TimeContext, opened: list[Open]
) -> TimePlan:
    stamps = [stamp for column in used for stamp in column.stamps if stamp.numbers]
    plan = _with_year(plan, stamps, context, opened)
    order = decide_order(
        stamps,
        said=_said_order(used, context),
        anchors=_anchors(context),
        local_order=local_order(context, any(stamp.half_day for stamp in stamps)),
        year_leads=bool(context.languages & YEAR_FIRST_LANGUAGES),
        year=plan.year,
    )
    if order.order is None:
        opened.append(Open("date_order", order.candidates, order.why))
    return replace(plan, order=order.order)


def _with_year(
    plan: TimePlan, stamps: Sequence[Stamp], context: TimeContext, opened: list[Open]
) -> TimePlan:
    if not any(stamp.form == NO_YEAR for stamp in stamps):
        return plan
    said = re.fullmatch(r"\s*(20\d{2})\s*", context.told.said.get("year", ""))
    known = [day.year for day in _anchors(context)]
    year = context.options.year or (int(said[1]) if said else None) or (known[0] if known else None)
    answer = context.options.answers.get(f"year:{plan.column}")
    year = int(answer) if answer and answer.isdigit() else year
    if year is None:
        opened.append(Open("year", (), "the dates have no year and nothing around them says one"))
    return replace(plan, year=year)


def _anchors(context: TimeContext) -> list[date]:
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


def _said_order(used: Sequence[_Column], context: TimeContext) -> str | None:
    answers, options = context.options.answers, context.options
    answered = answers.get(f"date_order:{INSTANT[context.kind]}") or options.date_order
    if answered:
        return answered
    texts = [aside for column in used for aside in read_header(column.header, True).asides]
    if context.units:
        texts += [context.units[column.index] for column in used]
    texts.append(context.told.said.get("date_format", ""))
    for text in texts:
        order = order_from_text(text) if text else None
        if order:
            return order
    return context.layout_order


def _with_day(
    plan: TimePlan, used: Sequence[_Column], context: TimeContext, opened: list[Open]
) -> TimePlan:
    roles = {column.role for column in used}
    if "clock" not in roles or "date" in roles:
        return plan
    day, order = known_day(context)
    if day is None and order is not None:
        opened.append(Open("day", _days_under(context, order), order.why))
    elif day is None:
        opened.append(Open("day", (), "the file has clock times and no date"))
    return replace(plan, day=day.isoformat() if day else None)


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


def _days_under(context: TimeContext, order: Order) -> tuple[str, ...]:
    texts = [context.told.said.get(key, "") for key in ("date", "start")]
    stamp = next(s for text in texts if (s := read_stamp(text)) is not None and s.numbers)
    days = [resolved(stamp, candidate, context.options.year) for candidate in order.candidates]
    return tuple(day.isoformat() for day in days if day)


def _with_start(
    plan: TimePlan, used: Sequence[_Column], context: TimeContext, opened: list[Open]
) -> TimePlan:
    if used[0].role != "elapsed":
        return plan
    unit_text = read_header(used[0].header, True).unit_text
    if unit_text is None and context.units:
        unit_text = context.units[used[0].index]
    unit = find_unit(unit_text, "time") if unit_text else None
    unit = context.options.answers.get(f"elapsed_unit:{plan.column}") or unit
    start = _start(context) or context.options.answers.get(f"start:{plan.column}")
    if start is None:
        why = "times count from a start that the file does not state"
        opened.append(Open("start", (), why))
    if unit is None and not _carry_units(used[0], context):
        opened.append(Open("elapsed_unit", ("s", "ms", "min"), "the elapsed times have no unit"))
    return replace(plan, start=start, elapsed_unit=unit)


def _carry_units(column: _Column, context: TimeContext) -> bool:
    return column.header.casefold().startswith("seconds") or "秒" in column.header


def _start(context: TimeContext) -> str | None:
    """The stated start as ISO text, with Z when it is UTC."""
    for key in ("start", "date"):
        text = context.told.said.get(key, "")
        stamp = read_stamp(text)
        if stamp is None or stamp.clock_us is None:
            continue
        day, _ = known_day(context)
        if day is None:
            return None
        seconds, micro = divmod(stamp.clock_us, 1_000_000)
        minutes, second = divmod(seconds, 60)
        clock = f"{minutes // 60:02d}:{minutes % 60:02d}:{second:02d}.{micro:06d}"
        return f"{day.isoformat()}T{clock}{'Z' if stamp.offset_min == 0 else ''}"
    return None


def _with_zone(
    plan: TimePlan, used: Sequence[_Column], context: TimeContext, opened: list[Open]
) -> TimePlan:
    if any(column.role == "zone" for column in used):
        return plan
    stamps = [stamp for column in used for stamp in column.stamps]
    if stamps and all(s.offset_min is not None or s.zone for s in stamps if s.clock_us is not None):
        if any(s.clock_us is not None for s in stamps):
            return replace(plan, zone_from="cell")
    if plan.start and plan.start.endswith("Z"):
        return replace(plan, zone_from="preamble")
    for text, by in _zone_texts(used, context, plan.column):
        offset, zone = text if isinstance(text, tuple) else read_zone(text)
        if offset is not None or zone is not None:
            return replace(plan, offset_min=offset, zone=zone, zone_from=by)
    why = "local times, and nothing says which zone; any IANA zone or offset answers"
    opened.append(Open("zone", COMMON_ZONES, why))
    return plan


def _zone_texts(
    used: Sequence[_Column], context: TimeContext, column: str
) -> list[tuple[str | tuple[int | None, str | None], str]]:
    """Where a zone may be stated, in order of trust, with the name of the place."""
    found: list[tuple[str | tuple[int | None, str | None], str]] = [
        (_header_zone(c.header), "header") for c in used
    ]
    if context.units:
        found += [(context.units[c.index], "units_row") for c in used]
    options, said = context.options, context.told.said
    start = read_stamp(said.get("start", "")) or read_stamp(said.get("date", ""))
    found += [
        (options.answers.get(f"zone:{column}") or "", "option"),
        (options.zone or "", "option"),
        (said.get("zone", ""), "preamble"),
        ((start.offset_min, start.zone) if start else "", "preamble"),
        (context.layout_zone or "", "layout"),
        (options.player_zone or "", "player"),
    ]
    return [(text, by) for text, by in found if text and text != (None, None)]


def elapsed_value(text: str, decimal: str | None) -> float | None:
    """An elapsed time as a plain number, for telling elapsed times from others."""
    return read_number(text, decimal, "time").value


def sources(plan: TimePlan) -> Mapping[int, str]:
    """Index → role of the columns that the plan uses."""
    return {index: role for index, _, role in plan.roles}
