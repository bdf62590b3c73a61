"""Options and answers checked before a file is read: what does not exist is refused."""

from datetime import date

from ingest.assign import known_columns
from ingest.errors import BadOption
from ingest.options import Options
from ingest.time_forms import is_form
from ingest.units import find_unit
from ingest.words import KINDS
from ingest.zone_texts import read_zone

ORDERS = ("dmy", "mdy", "ymd")
_CHOICES = {
    "decimal": (".", ","),
    "date_order": ORDERS,
    "sign": ("right", "left"),
    "hand": ("right", "left"),
    "skipped_hour": ("earlier", "later"),
    "repeated_hour": ("earlier", "later"),
}


def check_options(options: Options) -> None:
    """Raises BadOption naming the option and what it may be."""
    for column, unit in options.units.items():
        _unit(unit, f"units.{column}")
    for name, zone in (("zone", options.zone), ("player_zone", options.player_zone)):
        if zone:
            _zone(zone, name)
    if options.day:
        _day(options.day, "day")
    if options.decimal:
        _one_of(options.decimal, "decimal", "decimal")
    if options.date_order:
        _one_of(options.date_order, "date_order", "date_order")
    for question, answer in options.answers.items():
        _answer(question, answer)


def _answer(question: str, answer: str) -> None:
    kind = question.partition(":")[0]
    if kind in _CHOICES:
        _one_of(answer, kind, question)
    elif kind in _CHECKS:
        _CHECKS[kind](answer, question)


def _column(text: str, where: str) -> None:
    if not any(text in known_columns(kind) for kind in KINDS):
        mend = "Write a name of the shots, swings, marks or scores table, or unknown."
        raise BadOption("no column is called so.", mend, column=where, value=text)


def _unit(text: str, where: str) -> None:
    if find_unit(text) is None:
        raise BadOption("no unit is called so.", "Write m, yd, ft, mph …", column=where, value=text)


def _zone(text: str, where: str) -> None:
    if read_zone(text) == (None, None):
        mend = "Write an IANA name (Europe/Madrid) or an offset (+02:00)."
        raise BadOption("no time zone is called so.", mend, column=where, value=text)


def _day(text: str, where: str) -> None:
    try:
        date.fromisoformat(text)
    except ValueError as error:
        mend = "Write year-month-day."
        raise BadOption("that is no day.", mend, column=where, value=text) from error


def _one_of(text: str, kind: str, where: str) -> None:
    allowed = _CHOICES[kind]
    if text not in allowed:
        mend = f"Write one of {', '.join(allowed)}."
        raise BadOption("that is none of the answers.", mend, column=where, value=text)


def _start(text: str, where: str) -> None:
    _day(text[:10], where)


def _year(text: str, where: str) -> None:
    if not text.isdigit():
        raise BadOption("the year is no number.", "Write four digits.", column=where, value=text)


def _form(text: str, where: str) -> None:
    if not is_form(text):
        mend = "Write the pattern of the cells, for example %d.%m.%Y %H:%M, or one of the answers."
        raise BadOption("that is no form of a time.", mend, column=where, value=text)


_CHECKS = {
    "meaning": _column,
    "unit": _unit,
    "elapsed_unit": _unit,
    "zone": _zone,
    "day": _day,
    "start": _start,
    "year": _year,
    "time_form": _form,
}
