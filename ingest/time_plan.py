"""How the time columns of a file become instants, and what about them stays open.

Rules
- A column of full stamps or epoch numbers stands alone; else a date and a clock column go
  together; else clock times take their day from the preamble, the title or the file's name; else
  elapsed times count from a stated start.
- A zone is looked for in the cells, the header, the user's option, the preamble, the layout and
  the player's usual zone, in this order. Without one, local times are a question.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import polars as pl

from ingest.date_order import (
    YEAR_FIRST_LANGUAGES,
    decide_order,
    order_from_text,
    resolved,
)
from ingest.headers import read_header
from ingest.plan import INSTANT, TimePlan
from ingest.session_day import TimeContext, anchors, days_under, known_day, local_order
from ingest.time_columns import TimeColumn, choose, classify, header_zone, header_zone_text
from ingest.times import NO_YEAR, Stamp, read_stamp
from ingest.units import find_unit
from ingest.zone_seasons import out_of_season
from ingest.zone_texts import read_zone

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


@dataclass(frozen=True)
class Open:
    """One open point of the time plan."""

    kind: str
    candidates: tuple[str, ...]
    why: str


def plan_time(
    roles: Sequence[tuple[int, str, str]], texts: pl.DataFrame, context: TimeContext
) -> tuple[TimePlan | None, list[Open], list[int]]:
    """(plan, open points, indices of time columns that are not used).

    `roles` are (index, header, `when` | `date` | `elapsed` | `zone`) as the headers name them.
    """
    form = context.options.answers.get(f"time_form:{INSTANT[context.kind]}")
    columns = [classify(role, texts, context.units, form) for role in roles]
    used = choose(columns)
    taken = {column.index for column in used}
    unused = [column.index for column in columns if column.index not in taken]
    if not used or all(column.role == "zone" for column in used):
        return None, [], [column.index for column in columns]
    plan = TimePlan(
        INSTANT[context.kind],
        tuple((column.index, column.header, column.role) for column in used),
        decimal=context.decimal or ".",
        dotted_clock=any(column.dotted for column in used),
        serials=any(column.serial for column in used),
    )
    opened: list[Open] = []
    formed = [at for at, column in enumerate(used) if column.form]
    if formed:
        plan = replace(plan, form=used[formed[0]].form, form_at=formed[0])
    doubt = next((column.doubt for column in used if column.doubt), None)
    if doubt is not None:
        opened.append(Open("time_form", doubt.candidates, doubt.why))
    elif not used[0].role.startswith("epoch"):
        plan = _with_order(plan, used, context, opened)
        plan = _with_day(plan, used, context, opened)
        plan = _with_start(plan, used, context, opened)
        plan = _with_zone(plan, used, context, opened)
    answers = context.options.answers
    plan = replace(
        plan,
        skipped=answers.get(f"skipped_hour:{plan.column}"),
        doubled=answers.get(f"repeated_hour:{plan.column}"),
        open=tuple(point.kind for point in opened),
    )
    return plan, opened, unused


def _with_order(
    plan: TimePlan, used: Sequence[TimeColumn], context: TimeContext, opened: list[Open]
) -> TimePlan:
    stamps = [stamp for column in used for stamp in column.stamps if stamp.numbers]
    plan = _with_year(plan, stamps, context, opened)
    order = decide_order(
        stamps,
        said=_said_order(used, context),
        anchors=anchors(context),
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
    known = [day.year for day in anchors(context)]
    year = context.options.year or (int(said[1]) if said else None) or (known[0] if known else None)
    answer = context.options.answers.get(f"year:{plan.column}")
    year = int(answer) if answer and answer.isdigit() else year
    if year is None:
        opened.append(Open("year", (), "the dates have no year and nothing around them says one"))
    return replace(plan, year=year)


def _said_order(used: Sequence[TimeColumn], context: TimeContext) -> str | None:
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
    plan: TimePlan, used: Sequence[TimeColumn], context: TimeContext, opened: list[Open]
) -> TimePlan:
    roles = {column.role for column in used}
    if "clock" not in roles or "date" in roles:
        return plan
    day, order = known_day(context)
    if day is None and order is not None:
        opened.append(Open("day", days_under(context, order), order.why))
    elif day is None:
        opened.append(Open("day", (), "the file has clock times and no date"))
    return replace(plan, day=day.isoformat() if day else None)


def _with_start(
    plan: TimePlan, used: Sequence[TimeColumn], context: TimeContext, opened: list[Open]
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
    if unit is None and not used[0].clocked and not _names_seconds(used[0]):
        opened.append(
            Open("elapsed_unit", ("s", "ms", "min", "h"), "the elapsed times have no unit")
        )
    return replace(plan, start=start, elapsed_unit=unit)


def _names_seconds(column: TimeColumn) -> bool:
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
    plan: TimePlan, used: Sequence[TimeColumn], context: TimeContext, opened: list[Open]
) -> TimePlan:
    if any(column.role == "zone" for column in used):
        return plan
    stamps = [stamp for column in used for stamp in column.stamps]
    clocked = [stamp for stamp in stamps if stamp.clock_us is not None]
    if clocked and all(s.offset_min is not None or s.zone for s in clocked):
        return replace(plan, zone_from="cell")
    if plan.start and plan.start.endswith("Z"):
        return replace(plan, zone_from="preamble")
    days = [day for s in stamps if (day := resolved(s, plan.order, plan.year)) is not None]
    days += [date.fromisoformat(plan.day)] if plan.day else []
    for text, by in _zone_texts(used, context, plan.column):
        offset, zone = text if isinstance(text, tuple) else read_zone(text)
        seasonal = out_of_season(text, days) if isinstance(text, str) else None
        if seasonal is not None:
            opened.append(Open("zone", seasonal, f"{text} is not in use on these days"))
            return plan
        if offset is not None or zone is not None:
            return replace(plan, offset_min=offset, zone=zone, zone_from=by)
    why = "local times, and nothing says which zone; any IANA zone or offset answers"
    opened.append(Open("zone", COMMON_ZONES, why))
    return plan


def _zone_texts(
    used: Sequence[TimeColumn], context: TimeContext, column: str
) -> list[tuple[str | tuple[int | None, str | None], str]]:
    """Where a zone may be stated, in order of trust, with the name of the place."""
    found: list[tuple[str | tuple[int | None, str | None], str]] = [
        (header_zone_text(c.header) or header_zone(c.header), "header") for c in used
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
