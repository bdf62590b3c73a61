"""Which header names which column: the kind of the file, and one reading for every header.

Rules
- The kind is the one whose own columns the headers name best; a file that names none is unknown.
- A header with several readings is settled by its unit, by the language of the other headers, and
  by what its cells hold; what then still has several readings is a question.
- A header whose unit or cells contradict its name is not that column.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise

from ingest.clubs import read_club
from ingest.headers import Header, Match, read_header
from ingest.number_columns import plain_share
from ingest.numbers import read_number
from ingest.plan import dimension_of, value_type
from ingest.sides import side_of_word
from ingest.times import read_stamp
from ingest.units import UNITS, find_unit
from ingest.words import KINDS, TABLE_OF, languages
from schemas.tables import columns

_SHARED = {
    "launch": frozenset({"swing_length", "loft_deg", "lie_slope_deg"}),
    "marks": frozenset({"ball_number"}),
    "scores": frozenset({"station", "leave_m", "leave_bearing_deg"}),
}
ROLES = frozenset({"when", "date", "elapsed", "zone", "player", "side_word", "inverse_tempo_ratio"})
SWING_LENGTHS = ("swing_length_m", "swing_length_deg", "swing_length_share")
_SIDE_TWINS = {"side_m": "start_right_deg", "start_right_deg": "side_m"}
LONGEST_FLIGHT_S = 15.0
_EPOCH = re.compile(r"^\d{9,19}(?:[.,]\d+)?$")


@dataclass(frozen=True)
class Readings:
    """The possible columns of one header; exactly one when it is settled, none when unknown."""

    index: int
    header: Header
    unit_text: str | None
    columns: tuple[str, ...]
    score: float


def choose_kind(headers: Sequence[str], answers: Mapping[str, str] | None = None) -> str:
    """The kind whose own columns the headers, or the answers about them, name best; `unknown`."""
    said = {answer for question, answer in (answers or {}).items() if _asks_meaning(question)}
    scores = {}
    for kind in KINDS:
        own = columns_of_kind(kind)
        named: dict[str, float] = dict.fromkeys(said & own, 1.0)
        for text in headers:
            found = [
                match
                for match in read_header(text, True).matches.get(kind, ())
                if match.column in own and _unit_agrees(match.column, kind, text)
            ]
            for match in found:
                score = match.score / len(found) ** 2
                named[match.column] = max(named.get(match.column, 0.0), score)
        scores[kind] = sum(named.values())
    best = max(KINDS, key=lambda kind: (scores[kind], _n_known(headers, kind)))
    return best if scores[best] >= 0.8 else "unknown"


def _asks_meaning(question: str) -> bool:
    return question.startswith("meaning:")


def _n_known(headers: Sequence[str], kind: str) -> int:
    return sum(bool(read_header(text, True).matches.get(kind)) for text in headers)


@cache
def columns_of_kind(kind: str) -> frozenset[str]:
    """The columns that speak for `kind`: its own section of the vocabulary, less shared words."""
    own = {column for language in languages() for column in language.columns[kind]}
    return frozenset(own - _SHARED.get(kind, frozenset()) - {"note"})


def _unit_agrees(column: str, kind: str, header: str) -> bool:
    unit = read_header(header, True).unit_text
    dimension = dimension_of(column, kind)
    return unit is None or dimension is None or find_unit(unit, dimension) is not None


def file_languages(headers: Sequence[str], kind: str) -> frozenset[str]:
    """The languages that most headers of one meaning belong to."""
    counts: dict[str, float] = {}
    for text in headers:
        found = read_header(text, True).matches.get(kind, ())
        spoken = frozenset(code for match in found for code in match.languages)
        for code in spoken:
            counts[code] = counts.get(code, 0.0) + 1 / len(spoken)
    if not counts:
        return frozenset()
    top = max(counts.values())
    return frozenset(code for code, count in counts.items() if count >= top - 1e-9)


def readings(
    headers: Sequence[str],
    units: Sequence[str] | None,
    samples: Sequence[Sequence[str]],
    kind: str,
    answers: Mapping[str, str],
) -> list[Readings]:
    """The possible columns of every header of a file of `kind`, contradictions taken out."""
    spoken = file_languages(headers, kind)
    result = []
    for index, text in enumerate(headers):
        header = read_header(text, True)
        unit = header.unit_text or (units[index] if units and index < len(units) else None)
        unit = unit if unit and unit.strip() else None
        cells = samples[index]
        answered = answers.get(f"meaning:{text}")
        found = header.matches.get(kind, ())
        if answered is not None:
            names: tuple[str, ...] = () if answered == "unknown" else (answered,)
        else:
            names = _settle(found, unit, cells, kind, spoken)
        result.append(
            Readings(index, header, unit, names, max((m.score for m in found), default=0))
        )
    return result


def _settle(
    found: Sequence[Match],
    unit: str | None,
    cells: Sequence[str],
    kind: str,
    spoken: frozenset[str],
) -> tuple[str, ...]:
    by_name = {match.column: match.languages for match in found}
    unit = unit or _unit_in_cells(cells)
    names = [n for match in found for n in _by_unit(match.column, unit, cells, kind)]
    names = [name for name in dict.fromkeys(names) if holds(name, cells, kind)]
    if len(names) > 1:
        local = [name for name in names if by_name.get(name, spoken) & spoken]
        names = local or names
    if len(names) > 1 and "when" in names:
        clock = looks_like_times(cells)
        names = ["when"] if clock else [name for name in names if name != "when"]
    return tuple(names)


def _unit_in_cells(cells: Sequence[str]) -> str | None:
    """The unit that every one of the first cells carries behind its number."""
    tails = {re.sub(r"^[^0-9]*[\d.,\s]*\d", "", text).strip() for text in cells[:20]}
    tail = tails.pop() if len(tails) == 1 else ""
    return tail if tail and find_unit(tail) else None


def _epoch_elapsed_or_flight(unit: str, cells: Sequence[str], kind: str) -> tuple[str, ...]:
    """What a time in seconds is: since 1970, since the start, or in the air (at most 15 s)."""
    if cells and all(_EPOCH.match(text) for text in cells):
        return ("when",)
    points = [text.replace(",", ".") if text.count(",") == 1 else text for text in cells]
    numbers = [v for text in points if (v := read_number(text, ".", "time").value) is not None]
    scale = UNITS[find_unit(unit, "time") or "s"].to_si(1.0)
    rising = all(a <= b for a, b in pairwise(numbers))
    falling = all(a >= b for a, b in pairwise(numbers))
    if kind != "launch":
        return ("elapsed",) if rising or falling else ()
    if numbers and max(numbers) * scale > LONGEST_FLIGHT_S:
        return ("elapsed",)
    return ("elapsed", "flight_s") if rising else ("flight_s",)


def _by_unit(column: str, unit: str | None, cells: Sequence[str], kind: str) -> tuple[str, ...]:
    """`column`, or what it becomes under the unit stated beside it."""
    if column == "swing_length" and kind == "tempo":
        if unit is None:
            return SWING_LENGTHS
        return tuple(name for name in SWING_LENGTHS if _unit_fits(name, unit, kind))
    if column == "when" and unit and find_unit(unit, "time") in {"s", "ms", "us"}:
        return _epoch_elapsed_or_flight(unit, cells, kind)
    if column in ROLES or unit is None or _unit_fits(column, unit, kind):
        return (column,)
    twin = _SIDE_TWINS.get(column)
    return (twin,) if twin and _unit_fits(twin, unit, kind) else ()


def _unit_fits(column: str, unit: str, kind: str) -> bool:
    dimension = dimension_of(column, kind)
    if dimension is None or find_unit(unit, dimension) or find_unit(unit) is None:
        return True
    return dimension == "ratio" and unit.strip() in {"", "-"}


def by_contents(found: Sequence[Readings], samples: Sequence[Sequence[str]]) -> list[Readings]:
    """Clubs and sides under headers that name neither, known by what all of their cells are."""
    result = list(found)
    for column, is_one in (("club_text", _is_club), ("side_word", _is_side)):
        if any(column in reading.columns for reading in result):
            continue
        for at, reading in enumerate(result):
            cells = samples[reading.index]
            nameless = reading.columns in {(), ("player",)}
            if nameless and cells and all(is_one(text) for text in cells):
                result[at] = replace(reading, columns=(column,))
                break
    return result


def _is_club(text: str) -> bool:
    return read_club(text).kind is not None and not text.isdigit()


def _is_side(text: str) -> bool:
    return side_of_word(text) is not None


def holds(column: str, cells: Sequence[str], kind: str) -> bool:
    """Whether the cells can be that column at all."""
    if not cells:
        return True
    sample = cells[:50]
    if column == "side_word":
        return all(side_of_word(text) is not None for text in sample)
    if column in {"zone", "player"}:
        return True
    numeric = plain_share(sample) >= 0.5
    if column in {"when", "date"}:
        return numeric or looks_like_times(sample)
    kind_of_value = "number" if column in ROLES else value_type(column, kind)
    if kind_of_value == "number" and column != "elapsed":
        return numeric and not _are_dates(sample)
    return numeric or kind_of_value not in {"number", "integer"}


def looks_like_times(cells: Sequence[str]) -> bool:
    """Whether most cells are dates, clock times or epoch numbers."""
    sample = cells[:50]
    if not sample:
        return False
    good = sum(_is_time(text) for text in sample)
    return good >= 0.6 * len(sample)


def _is_time(text: str) -> bool:
    if _EPOCH.match(text):
        return True
    if text.isdigit() and len(text) != 8:
        return False
    stamp = read_stamp(text)
    if stamp is None or re.fullmatch(r"\d+(?:[.,]\d+)?", text):
        return bool(stamp and stamp.numbers and len(text) == 8)
    return not re.search(r"[:.]\d$", text)


def _are_dates(cells: Sequence[str]) -> bool:
    stamps = [read_stamp(text) for text in cells[:10]]
    return all(stamp is not None and stamp.numbers and len(stamp.numbers) == 3 for stamp in stamps)


def known_columns(kind: str) -> frozenset[str]:
    """The names a header of `kind` may be given by an answer or a layout."""
    return frozenset(columns(TABLE_OF[kind])) | {"when", "date", "elapsed", "zone", "unknown"}
