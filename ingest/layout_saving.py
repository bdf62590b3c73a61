"""A layout from a reading: what was answered, so that the next such file asks nothing."""

import re

from ingest.errors import BadOption
from ingest.layout import Layout, LayoutColumn
from ingest.options import Options
from ingest.plan import SIGNED_SIDE, ColumnPlan, TimePlan
from ingest.reading import Reading
from ingest.words import compact
from ingest.zone_texts import read_zone

_NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,63}")
_ROLES = {"stamp": "when", "clock": "when", "date": "date", "elapsed": "elapsed", "zone": "zone"}


def layout_from(reading: Reading, name: str, options: Options, version: str = "1") -> Layout:
    """The layout of files with the header of `reading`.

    Raises:
        BadOption: for a name that is no file name, or a reading with questions that a layout
            could answer still open.
    """
    if not _NAME.fullmatch(name):
        raise BadOption(
            f"{name!r} is no name for a layout.",
            "Use small letters, digits, - and _.",
            column="name",
        )
    if reading.plan is None or reading.sheet is None:
        raise BadOption("the file was not read.", "Look at it with `carrybook preview`.")
    _refuse_open(reading)
    plan = reading.plan
    columns = {column.index: _column(column) for column in plan.columns}
    if plan.time is not None:
        columns |= _time_columns(plan.time)
    columns |= {index: LayoutColumn(header, "unknown") for index, header in plan.unknown if header}
    return Layout(
        name=name,
        version=version,
        kind=reading.kind,
        columns=_once([columns[index] for index in sorted(columns)]),
        decimal=plan.decimal if options.decimal else None,
        zone=_zone(plan.time, options),
        date_order=_order(plan.time, options),
    )


_ANSWERABLE = frozenset(
    {"unit", "decimal", "sign", "meaning", "two_columns", "zone", "date_order", "elapsed_unit"}
)


def _refuse_open(reading: Reading) -> None:
    left = [question.id for question in reading.questions if question.kind in _ANSWERABLE]
    if left:
        raise BadOption(
            f"questions are still open: {', '.join(left)}.",
            f"Answer them first, for example --answer {left[0]}=…",
        )


def _column(column: ColumnPlan) -> LayoutColumn:
    sign = column.sign if column.column in SIGNED_SIDE and column.sign < 0 else None
    name = "inverse_tempo_ratio" if column.inverse else column.column
    return LayoutColumn(column.header, name, column.unit, sign)


def _time_columns(time: TimePlan) -> dict[int, LayoutColumn]:
    return {
        index: LayoutColumn(header, _ROLES.get(role, "when")) for index, header, role in time.roles
    }


def _once(columns: list[LayoutColumn]) -> tuple[LayoutColumn, ...]:
    """The first column of each header: a layout tells columns apart by their headers."""
    first: dict[str, LayoutColumn] = {}
    for column in columns:
        first.setdefault(compact(column.header), column)
    return tuple(first.values())


def _zone(time: TimePlan | None, options: Options) -> str | None:
    """The zone as the user gave it, when the file itself states none."""
    if time is None or time.zone_from not in {"option", "layout", "player"}:
        return None
    said = options.answers.get(f"zone:{time.column}") or options.zone or options.player_zone
    return said if said and read_zone(said) != (None, None) else time.zone


def _order(time: TimePlan | None, options: Options) -> str | None:
    if time is None:
        return None
    return options.answers.get(f"date_order:{time.column}") or options.date_order
