"""Numbers as people and devices write them: the value of each cell.

Rules
- Under a known decimal sign the other one, blanks and apostrophes may only part groups of three.
  A cell that breaks this (`12,5` among decimal points) has two meanings and is not read.
- A cell may carry its own unit, a side (`3.2 L`), feet and inches (`12' 6"`), a fraction, a
  quotient (`3:1`) or a clock (`0:01.25`), where its column's dimension allows it.
- Brackets around a number mean a minus, as in accounts (`(4.1)`); an angle may be `up` or `down`,
  a length `past` or `short`.
- A reference mark after a number (`12.5*`) does not change it; the text is kept beside the value.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache
from math import isinf

from ingest.sides import is_relative, split_side
from ingest.units import Dimension, find_unit
from ingest.worded_signs import split_word
from ingest.words import words

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
_BRACKETED = re.compile(r"^\((\d[^()]*)\)$")
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
    relative: bool = False


@cache
def missing_words() -> tuple[str, ...]:
    """Texts that say that nothing was measured, in lower case."""
    return ("", *_PUNCTUATION_MISSING, *sorted(words("missing")))


@lru_cache(maxsize=65536)
def read_number(
    text: str, decimal: str | None, dimension: Dimension, signed_side: bool = False
) -> Number:
    """One cell. With `decimal` None the sign is not settled, and `.` and `,` are not read."""
    plain = _SPACES.sub(" ", unicodedata.normalize("NFKC", text.translate(_MINUS))).strip()
    side, relative = 0, False
    if signed_side:
        relative = is_relative(plain)
        plain, side = split_side(plain)
        if not plain:
            return Number(0.0) if side == 0 else Number(fault="unreadable")
    special = _special(plain, decimal, dimension)
    number = special if special is not None else _simple(plain, decimal, dimension)
    if number.value is None:
        return number
    if isinf(number.value):
        return Number(fault="unreadable")
    return Number(number.value, number.unit, side, None, number.marked, relative)


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
    return _worded(text, decimal, dimension)


def _worded(text: str, decimal: str | None, dimension: Dimension) -> Number | None:
    """`4.1° down` as −4.1 and `3 ft past` as 3; None when no such word stands beside the number."""
    found = split_word(text, dimension)
    if found is None:
        return None
    sign, body, rest = found
    unit = find_unit(rest, dimension) if rest else None
    value = to_float(body.lstrip("+-"), decimal)
    if value is None or (rest and unit is None) or body.startswith("-" if sign > 0 else "+"):
        return Number(fault="two_meanings")
    return Number(sign * value, unit)


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
    bare = _BRACKETED.sub(r"-\1", _MARKS.sub("", text))
    found = _NUMBER.match(bare)
    if found is None:
        return Number(fault="unreadable")
    sign, body, exponent, tail = found.groups()
    if body.endswith("'"):
        body, tail = body[:-1], f"'{tail}"
    unit = find_unit(tail, dimension) if tail.strip() else None
    if tail.strip() and unit is None:
        return Number(fault="unreadable")
    value, fault = _value(body.strip(), decimal)
    if value is None:
        return Number(fault=fault)
    value = float(f"{value!r}{exponent}") if exponent and "e" not in repr(value) else value
    return Number(-value if sign == "-" else value, unit, marked=bool(_MARKS.search(text)))


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
