"""Whether the headers of a table speak of golf at all, or only of things that any table may have.

`Speed`, `Distance` or `Tempo` are columns of a run, a drive or a list of songs as well.

Rules
- A name of such everyday words is plain; any other name of a column of the kind is telling.
- One telling name is enough beside another column of the kind, a club, a number of shots or
  swings, or when no more headers are unknown than known.
- Without a telling name it takes three plain ones, two beside a club, or one beside a number of
  shots or swings. Numbers that the column can never hold do not count.
- Scores need both a result and what it is the result of (a station, a test).
"""

from collections.abc import Mapping, Sequence

from ingest.assign import choose_kind, columns_of_kind
from ingest.column_units import LIKELY
from ingest.errors import NoLayout
from ingest.header_concepts import concepts_of
from ingest.headers import Header, read_header
from ingest.numbers import read_number
from ingest.options import Options
from ingest.plan import dimension_of
from ingest.sheet import Sheet
from ingest.table_texts import Texts
from ingest.units import UNITS, find_unit
from ingest.words import TABLE_OF
from schemas.tables import columns

_EVERYDAY_WORDS = """
speed distance time duration moment date ratio tempo max height angle direction side deviation
total rate number point name unit past arc horizontal vertical bearing roll flight right left
"""
_EVERYDAY = frozenset(_EVERYDAY_WORDS.split())
_COUNTED = frozenset({"shot", "swing"})
_OF_SCORES = frozenset({"station", "station_text", "test", "attempt_id"})


def kind_of(sheet: Sheet, texts: Texts, options: Options, file_name: str) -> str:
    """The kind that the headers name and vouch for. Raises NoLayout for a file of no such kind."""
    kind = choose_kind(sheet.header, options.answers)
    if kind == "unknown":
        raise NoLayout(
            "no column of a launch, tempo, marks or score export was recognised in the header.",
            "Name the columns in a layout (`carrybook layout save`) or in the header line.",
            file=file_name,
            row=sheet.header_line,
        )
    own = columns_of_kind(kind)
    if speaks_of(kind, sheet.header, texts.samples, own, options.answers):
        return kind
    raise NoLayout(
        "the header has only columns that any table may have (a speed, a distance, a tempo).",
        f"If these are golf balls or swings, say so: --kind {kind}.",
        file=file_name,
        row=sheet.header_line,
    )


def speaks_of(
    kind: str,
    headers: Sequence[str],
    samples: Sequence[Sequence[str]],
    own: frozenset[str],
    answers: Mapping[str, str],
) -> bool:
    """Whether `headers` are enough to take the table for an export of `kind`.

    Args: samples: first cells of each column; own: the columns that speak for the kind.
    """
    if any(question.startswith("meaning:") for question in answers):
        return True
    telling, plain, known = set[str](), set[str](), 0
    counted = clubbed = False
    for at, text in enumerate(headers):
        header = read_header(text, True)
        names = {match.column for match in header.matches.get(kind, ())}
        known += bool(names)
        mine = names & own
        if mine and _possible(mine, header, samples[at] if at < len(samples) else (), kind):
            (plain if _is_everyday(header.name) else telling).add(min(mine))
        concepts = concepts_of(header.name) or frozenset()
        counted |= "device_number" in names and bool(concepts & _COUNTED)
        clubbed |= "club_text" in names
    if kind == "scores":
        return bool(telling | plain) and _says_of_what(headers, known)
    n_unknown = sum(1 for text in headers if text.strip()) - known
    if telling:
        beside = len(telling) > 1 or plain or counted or clubbed
        return bool(beside) or n_unknown <= known
    return len(plain) >= (1 if counted else 2 if clubbed else 3)


def _is_everyday(name: str) -> bool:
    concepts = concepts_of(name)
    return concepts is not None and concepts <= _EVERYDAY


def _possible(names: set[str], header: Header, cells: Sequence[str], kind: str) -> bool:
    """Whether half of the numbers can be one of the columns in its unit, or in a likely one."""
    for decimal in (".", ","):
        found = (read_number(cell, decimal, "length").value for cell in cells)
        values = [value for value in found if value is not None]
        if not values or any(_holds(name, header, values, kind) for name in names):
            return True
    return False


def _holds(name: str, header: Header, values: Sequence[float], kind: str) -> bool:
    dimension, column = dimension_of(name, kind), columns(TABLE_OF[kind]).get(name)
    if dimension is None or column is None:
        return True
    unit = find_unit(header.unit_text, dimension) if header.unit_text else None
    low, high = column.minimum, column.maximum
    for code in (unit,) if unit else LIKELY[dimension]:
        si = [UNITS[code].to_si(value) for value in values]
        inside = [(low is None or v >= low) and (high is None or v <= high) for v in si]
        if 2 * sum(inside) >= len(inside):
            return True
    return False


def _says_of_what(headers: Sequence[str], known: int) -> bool:
    names = {
        match.column
        for text in headers
        for match in read_header(text, True).matches.get("scores", ())
    }
    return bool(names & _OF_SCORES) or known == len(headers)
