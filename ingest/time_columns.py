"""What the cells of each time column hold, and which columns make the instant together."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import polars as pl

from ingest.date_order import decide_order
from ingest.headers import read_header
from ingest.serial_dates import read_serial, serial_role
from ingest.time_forms import Doubt, doubt_of, read_form, role_of, unreadable
from ingest.times import Stamp, read_stamp
from ingest.units import find_unit
from ingest.words import fold
from ingest.zone_texts import read_zone

_EPOCHS = {9: "epoch_s", 10: "epoch_s", 12: "epoch_ms", 13: "epoch_ms", 15: "epoch_us"}
_EPOCHS |= {16: "epoch_us", 18: "epoch_ns", 19: "epoch_ns"}
_UTC_WORD = re.compile(r"(?:^|[\s_(\[])(?:utc|gmt|z|zulu)(?:$|[\s_)\]])", re.IGNORECASE)
MANY = 5000
_COMPACT_CLOCK = re.compile(r"^(?:[01]\d|2[0-3])[0-5]\d[0-5]\d$")
_COMPACT_STAMP = re.compile(
    r"^20\d\d(?:0[1-9]|1[0-2])(?:0[1-9]|[12]\d|3[01])(?:[01]\d|2[0-3])[0-5]\d(?:[0-5]\d(?:\d{3})?)?$"
)
_EPOCH = re.compile(r"^(\d{9,19})(?:[.,]\d+)?$")
_SECONDS = re.compile(r"[+\-−]?\d{1,7}(?:[.,]\d+)?\s*(?:s|ms|sec)?")
_MINUTES = re.compile(r"(?:(\d+):)?(\d{1,3}):(\d{2})(?:[.,]\d+)?")
_DOTTED = re.compile(r"^\d{1,2}\.\d{2}\.\d{2}(?:[.,]\d+)?$")


@dataclass(frozen=True)
class TimeColumn:
    """A time column with its role (see `TimePlan`) and its different stamps."""

    index: int
    header: str
    role: str
    stamps: tuple[Stamp, ...]
    dotted: bool = False
    serial: bool = False
    clocked: bool = False
    readable: bool = True
    doubt: Doubt | None = None
    form: str | None = None


def classify(
    role: tuple[int, str, str],
    texts: pl.DataFrame,
    units: Sequence[str] | None = None,
    form: str | None = None,
) -> TimeColumn:
    """The role that the cells of one time column give it.

    Args: role: (index, header, named role); units: those of a row of units; form: how cells are
    written that cannot be read as they are, when that was answered.
    """
    index, header, name = role
    cells = _different(texts.to_series(index))
    unit = read_header(header, True).unit_text or (units[index] if units else None)
    doubt = doubt_of(name, cells, find_unit(unit, "time") if unit else None)
    if doubt is not None and form is None:
        if len(doubt.candidates) > 1:
            return TimeColumn(index, header, role_of(doubt.candidates[0]), (), doubt=doubt)
        form = doubt.candidates[0]
    if doubt is not None and form is not None and form != "serial":
        return _formed(index, header, cells, form)
    found = _classified(role, cells, unit)
    if found.readable or name == "elapsed":
        return found
    return _formed(index, header, cells, form) if form else replace(found, doubt=unreadable(cells))


def _formed(index: int, header: str, cells: Sequence[str], form: str) -> TimeColumn:
    """A column whose form was answered."""
    role = role_of(form)
    if role == "elapsed":
        return TimeColumn(index, header, role, ())
    stamps = tuple(stamp for text in cells if (stamp := read_form(text, form)) is not None)
    return TimeColumn(index, header, role, stamps, form=form)


def _classified(role: tuple[int, str, str], cells: Sequence[str], unit: str | None) -> TimeColumn:
    """The role by the rules of this module alone."""
    index, header, name = role
    counted = bool(unit and find_unit(unit, "time"))  # then a number is no day and no part of one
    serial = None if counted else serial_role(name, cells)
    if serial is not None:
        stamps = tuple(stamp for text in cells if (stamp := read_serial(text, serial)))
        return TimeColumn(index, header, serial, stamps, serial=True)
    plain = "zone" if name == "zone" else _epoch(cells)
    if plain is None and not _all_compact_clocks(cells, name) and _is_elapsed(cells, name, unit):
        plain = "elapsed"
    if plain:
        clocked = plain == "elapsed" and all(":" in text for text in cells)
        return TimeColumn(index, header, plain, (), clocked=clocked)
    return _with_stamps(index, header, name, cells)


def _different(column: pl.Series) -> list[str]:
    """The different cells; of a long column one for each different date."""
    if column.len() > MANY:
        column = column.gather(column.str.slice(0, 10).arg_unique())
    return list(dict.fromkeys(text for text in column.to_list() if text))[:MANY]


def _with_stamps(index: int, header: str, name: str, cells: Sequence[str]) -> TimeColumn:
    """A column of dates, clock times or both."""
    if _all_compact_clocks(cells, name):
        cells = [f"{text[:2]}:{text[2:4]}:{text[4:]}" for text in cells]
    stamps = [stamp for text in cells if (stamp := read_stamp(text)) is not None]
    if _all_dotted_clocks(cells, stamps):
        clocks = [read_stamp(text.replace(".", ":", 2)) for text in cells if _DOTTED.match(text)]
        return TimeColumn(index, header, "clock", tuple(s for s in clocks if s), True)
    dated = sum(stamp.numbers is not None for stamp in stamps)
    clocked = sum(stamp.clock_us is not None for stamp in stamps)
    readable = 2 * len(stamps) >= len(cells)
    role = "clock"
    if dated * 2 >= len(stamps) and stamps:
        role = "stamp" if clocked else "date"
    return TimeColumn(index, header, role, tuple(stamps), readable=readable)


def _all_compact_clocks(cells: Sequence[str], name: str) -> bool:
    """`102305` in every row of a column that is not called elapsed."""
    clocks = all(_COMPACT_CLOCK.match(text) for text in cells)
    return name != "elapsed" and bool(cells) and clocks


def _epoch(cells: Sequence[str]) -> str | None:
    """The epoch unit when nine cells of ten have the digits of one."""
    if not cells or all(_COMPACT_STAMP.match(text) for text in cells):
        return None
    kinds = [_EPOCHS.get(len(found[1])) for text in cells if (found := _EPOCH.match(text))]
    common = max(set(kinds), key=kinds.count) if kinds else None
    return common if common and kinds.count(common) >= 0.9 * len(cells) else None


def _is_elapsed(cells: Sequence[str], name: str, unit: str | None) -> bool:
    """Plain numbers, or minutes and seconds with decimals or beyond a day's hours."""
    if not cells:
        return False
    numeric = sum(map(bool, map(_SECONDS.fullmatch, cells)))
    if numeric >= 0.9 * len(cells) and not all(len(t) == 8 and t.isdigit() for t in cells):
        return True
    clocks = [_MINUTES.fullmatch(text) for text in cells]
    if not all(clocks):
        return False
    if name == "elapsed" or (unit and find_unit(unit, "time") not in {None, "h"}):
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


def choose(columns: Sequence[TimeColumn]) -> list[TimeColumn]:
    """The columns that make the instant, in the order of the module's rules.

    One that cannot be read is among them when the others do not make an instant without it.
    """
    unread = [column for column in columns if not column.readable and column.doubt][:1]
    chosen = _choose_readable([column for column in columns if column.readable])
    roles = {column.role for column in chosen} - {"zone"}
    if not unread or roles not in (set(), {"date"}, {"clock"}):
        return chosen
    missing = "clock" if "date" in roles else "date" if "clock" in roles else "stamp"
    added = [*chosen, _as(missing, unread[0])]
    return sorted(added, key=lambda column: ("stamp", "date", "clock", "zone").index(column.role))


def _as(role: str, column: TimeColumn) -> TimeColumn:
    """A column that cannot be read in the role that is missing, with the forms that serve it."""
    doubt = column.doubt
    if doubt is not None and role != "stamp":
        forms = tuple(form for form in doubt.candidates if role_of(form) == role)
        doubt = replace(doubt, candidates=forms)
    return replace(column, role=role, doubt=doubt)


def _choose_readable(columns: Sequence[TimeColumn]) -> list[TimeColumn]:
    if any(column.role == "clock" for column in columns):
        columns = [_without_midnight(column) for column in columns]
    zone = [column for column in columns if column.role == "zone"][:1]
    epochs = [column for column in columns if column.role.startswith("epoch")]
    stamps = [column for column in columns if column.role == "stamp"]
    if stamps or epochs:
        sure = [c for c in stamps if _says_zone(c)] or epochs or stamps
        return [sure[0]] if sure[0].role.startswith("epoch") else [sure[0], *zone]
    dates = [column for column in columns if column.role == "date"][:1]
    clocks = [column for column in columns if column.role == "clock"][:1]
    elapsed = [column for column in columns if column.role == "elapsed"][:1]
    if clocks or (dates and not (elapsed and _is_one_day(dates[0]))):
        return [*dates, *clocks, *zone]
    return [*elapsed, *zone]


def _is_one_day(column: TimeColumn) -> bool:
    """Whether times counted from one start can be of these dates; of several days each has one."""
    return len({stamp.numbers for stamp in column.stamps}) == 1


def _without_midnight(column: TimeColumn) -> TimeColumn:
    """Stamps that all say midnight are dates, where another column tells the time."""
    midnight = all(stamp.clock_us in {0, None} for stamp in column.stamps)
    return replace(column, role="date") if column.role == "stamp" and midnight else column


def _says_zone(column: TimeColumn) -> bool:
    own = all(stamp.offset_min is not None or stamp.zone for stamp in column.stamps)
    return own or header_zone(column.header) != (None, None)


def header_zone_text(header: str) -> str | None:
    """The bracketed words of a header that name a zone (`CET`)."""
    asides = read_header(header, True).asides
    return next((aside for aside in asides if read_zone(aside) != (None, None)), None)


def header_zone(header: str) -> tuple[int | None, str | None]:
    """The offset or zone that a header states; (None, None) without one."""
    for aside in read_header(header, True).asides:
        found = read_zone(aside)
        if found != (None, None):
            return found
    last = header.replace("_", " ").split()[-1:] or [""]
    found = read_zone(last[0]) if len(last[0]) > 1 else (None, None)
    utc = _UTC_WORD.search(header) or fold(header).endswith(" utc")
    return (0, None) if found == (None, None) and utc else found
