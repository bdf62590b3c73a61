"""Instants from the texts of a time plan: local clock to UTC, and hours skipped or doubled.

Rules
- An offset or zone in the cell holds for that cell; otherwise the plan's zone or offset.
- A local time that the clocks skipped has no instant; one that they showed twice has two. Both are
  reported by row and stay null.
- Clock times that jump back by more than twelve hours, in rows otherwise in order, passed midnight.
- A date without a clock time stands for the start of that local day.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from zoneinfo import ZoneInfo

import polars as pl

from ingest.date_order import resolved
from ingest.number_columns import SMALL
from ingest.numbers import read_number
from ingest.plan import TimePlan
from ingest.quick_instants import quick_instants
from ingest.serial_dates import read_serial
from ingest.time_forms import read_form
from ingest.times import Stamp, read_stamp
from ingest.units import UNITS
from ingest.zone_texts import read_zone

DAY_US = 86_400_000_000
QUARTER_US = 900_000_000
_EPOCH_DAY = date(1970, 1, 1).toordinal()
_PER_SECOND = {"epoch_s": 1, "epoch_ms": 1_000, "epoch_us": 1_000_000, "epoch_ns": 1_000_000_000}
_DOTTED = re.compile(r"^\d{1,2}\.\d{2}\.\d{2}(?:[.,]\d+)?$")


@dataclass
class Instants:
    """UTC instants by row (null = none), and rows whose text is no time, was skipped or doubled."""

    utc: pl.Series
    faults: dict[int, str] = field(default_factory=dict)
    skipped: list[int] = field(default_factory=list)
    doubled: list[int] = field(default_factory=list)


@dataclass
class _Local:
    """Local microseconds since 1970 by row, and where each row's offset or zone comes from."""

    us: list[int | None]
    offset: list[int | None]
    zone: list[str | None]
    faults: dict[int, str]


def instants(plan: TimePlan, columns: Sequence[pl.Series]) -> Instants:
    """The instant of every row. `columns` are the tidied texts of the plan's roles, in order."""
    roles = [role for _, _, role in plan.roles]
    height = columns[0].len() if columns else 0
    if plan.open and set(plan.open) - {"skipped", "doubled"}:
        return Instants(pl.repeat(None, height, dtype=pl.Datetime("us", "UTC"), eager=True))
    if roles[0] in _PER_SECOND:
        return _epochs(columns[0], roles[0])
    if height > SMALL:
        quick = quick_instants(plan, roles, columns)
        if quick is not None:
            return Instants(*quick)
    local = _local(plan, roles, columns)
    return _to_utc(local, plan)


def _epochs(texts: pl.Series, role: str) -> Instants:
    per_second = _PER_SECOND[role]
    whole = texts.str.replace(",", ".", literal=True).str.extract_groups(r"^(\d+)(?:\.(\d+))?$")
    parts = whole.struct.unnest()
    digits = parts.to_series(0).cast(pl.Int64, strict=False)
    rest = parts.to_series(1).fill_null("0").str.pad_end(9, "0").str.slice(0, 9).cast(pl.Int64)
    if per_second <= 1_000_000:
        scale = 1_000_000 // per_second
        us = digits * scale + (rest * scale) // 1_000_000_000
    else:
        us = digits // (per_second // 1_000_000)
    faults = (texts.is_not_null() & us.is_null()).arg_true().to_list()
    return Instants(_utc(us), dict.fromkeys(faults, "unreadable_time"))


def _utc(us: pl.Series) -> pl.Series:
    if us.len() <= SMALL:
        return pl.Series("instant", us.to_list(), dtype=pl.Datetime("us", "UTC"))
    return us.cast(pl.Datetime("us")).dt.replace_time_zone("UTC").rename("instant")


def _local(plan: TimePlan, roles: Sequence[str], columns: Sequence[pl.Series]) -> _Local:
    height = columns[0].len()
    local = _Local([None] * height, [None] * height, [None] * height, {})
    reader = _Reader(plan, roles)
    for row, texts in enumerate(zip(*(column.to_list() for column in columns), strict=True)):
        reader.read(row, texts, local)
    if roles in (["clock"], ["clock", "zone"]):
        _pass_midnight(local)
    return local


class _Reader:
    """Reads one row after the other; texts seen before are looked up."""

    def __init__(self, plan: TimePlan, roles: Sequence[str]) -> None:
        self.plan = plan
        self.roles = roles
        self.day = date.fromisoformat(plan.day) if plan.day else None
        self.start_us = _start_us(plan.start)
        self.unit = UNITS[plan.elapsed_unit] if plan.elapsed_unit else None

    def read(self, row: int, texts: Sequence[str | None], local: _Local) -> None:
        """Put the row's local time, offset and zone, or its fault.

        A date without its clock time (or the reverse) gives no instant.
        """
        parts = [(role, t) for role, t in zip(self.roles, texts, strict=True) if role != "zone"]
        zone = next((t for role, t in zip(self.roles, texts, strict=True) if role == "zone"), None)
        if zone is not None:
            local.offset[row], local.zone[row] = read_zone(zone)
        if any(text is None for _, text in parts):
            return
        if parts[0][0] == "elapsed":
            self._elapsed(row, parts[0][1] or "", local)
        else:
            self._stamps(row, [(role, text or "") for role, text in parts], local)

    def _stamps(self, row: int, parts: Sequence[tuple[str, str]], local: _Local) -> None:
        """A date, a clock time, or both."""
        day, clock_us = self.day, 0
        for role, text in parts:
            stamp = self._stamp(text, role)
            if stamp is None:
                local.faults[row] = "unreadable_time"
                return
            day = resolved(stamp, self.plan.order, self.plan.year) if stamp.numbers else day
            if day is None:
                local.faults[row] = "impossible_date"
                return
            clock_us = stamp.clock_us or clock_us
            if stamp.offset_min is not None or stamp.zone is not None:
                local.offset[row], local.zone[row] = stamp.offset_min, stamp.zone
        if day is not None:
            local.us[row] = (day.toordinal() - _EPOCH_DAY) * DAY_US + clock_us

    def _stamp(self, text: str, role: str) -> Stamp | None:
        if self.plan.form and role == self.roles[self.plan.form_at]:
            return read_form(text, self.plan.form)
        if self.plan.dotted_clock and role == "clock" and _DOTTED.match(text):
            text = text.replace(".", ":", 2)
        elif role == "clock" and len(text) == 6 and text.isdigit():
            text = f"{text[:2]}:{text[2:4]}:{text[4:]}"
        elif self.plan.serials and (serial := read_serial(text, role)) is not None:
            return serial
        return read_stamp(text)

    def _elapsed(self, row: int, text: str, local: _Local) -> None:
        number = read_number(text, self.plan.decimal, "time")
        if number.value is None or self.start_us is None:
            local.faults[row] = "unreadable_time"
            return
        unit = UNITS[number.unit] if number.unit else self.unit
        seconds = unit.to_si(number.value) if unit else number.value
        local.us[row] = self.start_us + round(seconds * 1_000_000)
        if self.plan.start and self.plan.start.endswith("Z"):
            local.offset[row] = 0


def _start_us(start: str | None) -> int | None:
    """Microseconds of an ISO start, local or (with Z) UTC."""
    if start is None:
        return None
    moment = datetime.fromisoformat(start.removesuffix("Z"))
    midnight = (moment.date().toordinal() - _EPOCH_DAY) * DAY_US
    clock = (moment.hour * 60 + moment.minute) * 60 + moment.second
    return midnight + clock * 1_000_000 + moment.microsecond


def _pass_midnight(local: _Local) -> None:
    """Add a day after each backward jump of over twelve hours in rows otherwise in order."""
    rows = [row for row, us in enumerate(local.us) if us is not None]
    steps = [_us(local, b) - _us(local, a) for a, b in pairwise(rows)]
    if not any(step < -DAY_US // 2 for step in steps):
        return
    if any(-DAY_US // 2 <= step < 0 for step in steps):
        return
    days = 0
    for row, step in zip(rows[1:], steps, strict=True):
        days += step < -DAY_US // 2
        local.us[row] = _us(local, row) + days * DAY_US


def _us(local: _Local, row: int) -> int:
    value = local.us[row]
    assert value is not None
    return value


def _to_utc(local: _Local, plan: TimePlan) -> Instants:
    """Local times to UTC, each row by its own offset or zone, else by the plan's."""
    result = Instants(pl.Series(dtype=pl.Int64), local.faults)
    utc: list[int | None] = []
    for row, (us, own_offset, own_zone) in enumerate(
        zip(local.us, local.offset, local.zone, strict=True)
    ):
        offset_s = own_offset * 60 if own_offset is not None else None
        if us is not None and offset_s is None:
            offset_s = _offset_s(us, own_zone, plan, row, result)
        utc.append(us - offset_s * 1_000_000 if us is not None and offset_s is not None else None)
    result.utc = _utc(pl.Series(utc, dtype=pl.Int64))
    return result


def _offset_s(
    us: int, own_zone: str | None, plan: TimePlan, row: int, result: Instants
) -> int | None:
    """Seconds east of UTC at a local time; None, and noted, when it was skipped or doubled."""
    if own_zone is None and plan.offset_min is not None:
        return plan.offset_min * 60
    zone = own_zone or plan.zone
    if zone is None:
        return None
    early, late = zone_offset(zone, us // QUARTER_US)
    if early == late:
        return early
    change = "doubled" if early > late else "skipped"
    chosen = plan.doubled if change == "doubled" else plan.skipped
    if chosen is None:
        (result.doubled if change == "doubled" else result.skipped).append(row)
        return None
    return max(early, late) if chosen == "earlier" else min(early, late)


@lru_cache(maxsize=65536)
def zone_offset(zone: str, quarter: int) -> tuple[int, int]:
    """Seconds east of UTC in a local quarter of an hour, before and after a change of the clocks.

    The two differ only in an hour that was skipped (first < second) or shown twice. `quarter`
    counts from 1970-01-01 00:00 local; clocks change on whole quarters.
    """
    local = datetime(1970, 1, 1) + timedelta(minutes=15 * quarter)
    early = local.replace(tzinfo=ZoneInfo(zone)).utcoffset()
    late = local.replace(tzinfo=ZoneInfo(zone), fold=1).utcoffset()
    assert early is not None
    assert late is not None
    return int(early.total_seconds()), int(late.total_seconds())
