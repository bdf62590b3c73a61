"""Numbers as people and devices write them: the value of each cell.

Rules
- Under a known decimal sign the other one, blanks and apostrophes may only part groups of three.
  A cell that breaks this (`12,5` among decimal points) has two meanings and is not read.
- A cell may carry its own unit, a side (`3.2 L`), feet and inches (`12' 6"`), a fraction, a
  quotient (`3:1`) or a clock (`0:01.25`), where its column's dimension allows it.
- A reference mark after a number (`12.5*`) does not change it; the text is kept beside the value.
"""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import polars as pl

from ingest.sides import split_side
from ingest.units import Dimension, find_unit
from ingest.words import words

_PLAIN = {
    ".": r"^[+-]?(?:\d+(?:\.\d*)?|\.\d+)$",
    ",": r"^[+-]?(?:\d+(?:,\d*)?|,\d+)$",
    None: r"^[+-]?\d+$",
}
_MINUS = str.maketrans(
    dict.fromkeys("−–—﹣‐‑", "-") | dict.fromkeys("′’ʹ‘`´", "'") | {"″": '"', "”": '"'}
)
_SPACES = re.compile(r"[\s\u00a0\u2000-\u200b\u202f]+")
_NUMBER = re.compile(
    r"^\s*([+-]?)\s*((?:\d[\d.,' ]*(?:[.,]\d+)?|[.,]\d+))((?:[eE][+-]?\d+)?)\s*([^\d]*)$"
)
_FRACTION = re.compile(r"^([+-]?)(?:(\d+)[ -])?(\d+)/(\d+)\s*([^\d]*)$")
_QUOTIENT = re.compile(
    r"^(\d+(?:[.,]\d+)?)\s*(?::|/|to|zu|à|a|till|op|per|対|대)\s*(\d+(?:[.,]\d+)?)$"
)
_CLOCK = re.compile(r"^(?:(\d+):)?(\d{1,3}):(\d{1,2}(?:[.,]\d+)?)$")
_FEET = re.compile(
    r"^([+-]?)(\d+)\s*(?:'(?!')|ft\.?|feet|foot|pieds?|pies?|fuß|fuss|fot|voet|pés?|piedi|piede|"
    r"フィート|피트)\s*[-,]?\s*(\d+(?:[.,]\d+)?)?(?:[ -]?(\d+)/(\d+))?\s*"
    r"(?:\"|''|in\.?|inch|inches|zoll|tum|pulgadas?|pouces?|pollici|polegadas?|duim|インチ|인치)?$",
    re.IGNORECASE,
)
_STARTS = re.compile(r"^[^0-9]{0,8}[0-9]")
_MARKS = re.compile(r"\s*[*†‡§¹²³]+$")
_PUNCTUATION_MISSING = [
    "-",
    "−",
    "--",
    "---",
    "----",
    "–",
    "—",
    ".",
    "..",
    "...",
    "…",
    "*",
    "**",
    "***",
    "?",
    "??",
    "#n/a",
    "#na",
    "#value!",
    "#div/0!",
    "#ref!",
    "#num!",
    "#null!",
    "\\n",
    "(null)",
    "<null>",
    "[null]",
    "-nan",
    "+nan",
    "1.#qnan",
    "/",
    "//",
    "_",
    "__",
    "<na>",
    "n/m",
    "n.m.",
    "-.-",
    "--.-",
    "--.--",
    "-.--",
    "---.-",
    "'-",
]

SMALL = 2000
"""Rows up to which plain loops are quicker than vectorised queries."""


@dataclass(frozen=True)
class Number:
    """One cell read: the value in `unit` (None = the column's), or why it cannot be read.

    `side` is −1 left, +1 right, 0 not said; `marked` tells of a reference mark after the number.
    """

    value: float | None = None
    unit: str | None = None
    side: int = 0
    fault: str | None = None
    marked: bool = False


@cache
def missing_words() -> tuple[str, ...]:
    """Texts that say that nothing was measured, in lower case."""
    return ("", *_PUNCTUATION_MISSING, *sorted(words("missing")))


def plain_share(cells: Sequence[str]) -> float:
    """The share of cells (none missing) that start like a number: is this a numeric column?"""
    if not cells:
        return 0.0
    return sum(1 for text in cells if _STARTS.match(text)) / len(cells)


@dataclass(frozen=True)
class NumberColumn:
    """A column of cells read: values in `units` (None = the column's own), faults by row."""

    values: pl.Series
    units: dict[int, str]
    sides: dict[int, int]
    faults: dict[int, str]
    marked: dict[int, str]


def read_column(
    texts: pl.Series, decimal: str | None, dimension: Dimension, signed_side: bool = False
) -> NumberColumn:
    """Read tidied cells: regular ones at once, the rest text by text.

    A row in `faults` has a null value and a code: `unreadable`, `two_meanings`, `decimal_open`.
    """
    if texts.len() <= SMALL:
        return _read_few(texts, decimal=decimal, dimension=dimension, signed_side=signed_side)
    plain = texts.str.contains(_PLAIN[decimal])
    body = texts.str.replace_all(",", ".", literal=True) if decimal == "," else texts
    values = body.set(~plain, None).cast(pl.Float64, strict=False)
    column = NumberColumn(values, {}, {}, {}, {})
    irregular = (~plain).fill_null(False)
    if not irregular.any():
        return column
    return _fill_irregular(
        column, texts, irregular, decimal=decimal, dimension=dimension, signed_side=signed_side
    )


def _read_few(
    texts: pl.Series, *, decimal: str | None, dimension: Dimension, signed_side: bool
) -> NumberColumn:
    """A short column, cell by cell: quicker than setting up a vectorised query."""
    match = _plain_pattern(decimal).match
    column = NumberColumn(texts, {}, {}, {}, {})
    values: list[float | None] = []
    for row, text in enumerate(texts.to_list()):
        if text is None:
            values.append(None)
        elif match(text):
            values.append(float(text.replace(",", ".")))
        else:
            number = read_number(text, decimal, dimension, signed_side)
            values.append(number.value)
            _note(column, row, text, number)
    filled = pl.Series(texts.name, values, dtype=pl.Float64)
    return NumberColumn(filled, column.units, column.sides, column.faults, column.marked)


@cache
def _plain_pattern(decimal: str | None) -> re.Pattern[str]:
    return re.compile(_PLAIN[decimal], re.ASCII)


def _note(column: NumberColumn, row: int, text: str, number: Number) -> None:
    """Put down what a cell says beside its value."""
    if number.fault:
        column.faults[row] = number.fault
    if number.unit:
        column.units[row] = number.unit
    if number.side:
        column.sides[row] = number.side
    if number.marked:
        column.marked[row] = text


def _fill_irregular(
    column: NumberColumn,
    texts: pl.Series,
    irregular: pl.Series,
    *,
    decimal: str | None,
    dimension: Dimension,
    signed_side: bool,
) -> NumberColumn:
    rows = irregular.arg_true()
    values: list[float | None] = []
    for row, text in zip(rows.to_list(), texts.gather(rows).to_list(), strict=True):
        number = read_number(text, decimal, dimension, signed_side)
        values.append(number.value)
        _note(column, row, text, number)
    filled = column.values.scatter(rows, pl.Series(values, dtype=pl.Float64))
    return NumberColumn(filled, column.units, column.sides, column.faults, column.marked)


@lru_cache(maxsize=65536)
def read_number(
    text: str, decimal: str | None, dimension: Dimension, signed_side: bool = False
) -> Number:
    """One cell. With `decimal` None the sign is not settled, and `.` and `,` are not read."""
    plain = _SPACES.sub(" ", unicodedata.normalize("NFKC", text.translate(_MINUS))).strip()
    side = 0
    if signed_side:
        plain, side = split_side(plain)
        if not plain:
            return Number(0.0) if side == 0 else Number(fault="unreadable")
    special = _special(plain, decimal, dimension)
    number = special if special is not None else _simple(plain, decimal, dimension)
    if number.value is None:
        return number
    return Number(number.value, number.unit, side, None, number.marked)


def _special(text: str, decimal: str | None, dimension: Dimension) -> Number | None:
    """Feet and inches, fractions, quotients and clocks; None when the cell is none of them."""
    if dimension == "length":
        feet = _feet_and_inches(text, decimal)
        if feet is not None:
            return feet
    if dimension == "ratio" and (found := _QUOTIENT.match(text)):
        parts = [to_float(part, decimal) for part in found.groups()]
        if parts[0] is not None and parts[1]:
            return Number(parts[0] / parts[1], "1")
    if dimension == "time" and (found := _CLOCK.match(text)):
        seconds = to_float(found[3], decimal or ("," if "," in found[3] else "."))
        if seconds is not None and seconds < 60:
            return Number(int(found[1] or 0) * 3600 + int(found[2]) * 60 + seconds, "s")
    if found := _FRACTION.match(text):
        return _fraction(found, dimension)
    return None


def _fraction(found: re.Match[str], dimension: Dimension) -> Number:
    sign, whole, top, bottom, tail = found.groups()
    unit = find_unit(tail, dimension) if tail.strip() else None
    if int(bottom) == 0 or (tail.strip() and unit is None):
        return Number(fault="unreadable")
    value = int(whole or 0) + int(top) / int(bottom)
    return Number(-value if sign == "-" else value, unit)


def _feet_and_inches(text: str, decimal: str | None) -> Number | None:
    found = _FEET.match(text)
    if found is None or re.fullmatch(r"[+-]?\d{1,3}('\d{3})+", text):
        return None
    sign, feet, inches, top, bottom = found.groups()
    extra = to_float(inches, decimal or ".") if inches else 0.0
    if extra is not None and top and bottom and int(bottom):
        extra += int(top) / int(bottom)
    if extra is None or extra >= 12:
        return Number(fault="unreadable")
    value = int(feet) + extra / 12
    return Number(-value if sign == "-" else value, "[ft_i]")


def _simple(text: str, decimal: str | None, dimension: Dimension) -> Number:
    bare = _MARKS.sub("", text)
    found = _NUMBER.match(bare)
    if found is None:
        return Number(fault="unreadable")
    sign, body, exponent, tail = found.groups()
    unit = find_unit(tail, dimension) if tail.strip() else None
    if tail.strip() and unit is None:
        return Number(fault="unreadable")
    value, fault = _value(body.strip(), decimal)
    if value is None:
        return Number(fault=fault)
    value = float(f"{value!r}{exponent}") if exponent and "e" not in repr(value) else value
    return Number(-value if sign == "-" else value, unit, marked=bare != text)


def _value(body: str, decimal: str | None) -> tuple[float | None, str | None]:
    if decimal is None and ("." in body or "," in body):
        return None, "decimal_open"
    value = to_float(body, decimal)
    return (value, None) if value is not None else (None, "two_meanings")


def to_float(body: str, decimal: str | None) -> float | None:
    """Digits with group and decimal signs as a float; None when they do not fit `decimal`."""
    point = decimal or "."
    groups = "," if point == "." else "."
    whole, _, rest = body.partition(point)
    if point in rest or groups in rest or (rest and not rest.strip().isdigit()):
        return None
    if not re.fullmatch(rf"\d*|\d{{1,3}}(?:[{groups}' ]\d{{3}})+", whole):
        return None
    digits = re.sub(r"\D", "", whole)
    return float(f"{digits or '0'}.{rest.strip() or '0'}")
