"""Which sign parts the decimals of a file: decided once, from every numeric cell.

Rules
- `12.5` and `0.125` prove a point, `12,5` proves a comma, `1.234,5` and `1,234.5` prove the last
  one, `1.234.567` proves the other one. `5.842` proves nothing.
- A sign that some cells prove and none disproves holds for the whole file, so that `5.842` among
  decimal commas is 5842. When cells prove both, each column is decided by its own cells.
- When nothing proves one, a reading that no unit could make possible is ruled out by the limits of
  the columns; what is then still open is a question.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import polars as pl

from ingest.number_columns import SMALL

_PROOF_DOT = (
    r"^[^0-9.,]*(?:\d{4,}\.\d+|0?\.\d+|[1-9]\d{0,2}\.(?:\d{1,2}|\d{4,})"
    r"|\d{1,3}(?:,\d{3})+\.\d+|\d{1,3}(?:,\d{3}){2,})(?:[^0-9.,].*)?$"
)
_PROOF_COMMA = (
    r"^[^0-9.,]*(?:\d{4,},\d+|0?,\d+|[1-9]\d{0,2},(?:\d{1,2}|\d{4,})"
    r"|\d{1,3}(?:\.\d{3})+,\d+|\d{1,3}(?:\.\d{3}){2,})(?:[^0-9.,].*)?$"
)
_OPEN_DOT = r"^[^0-9.,]*[1-9]\d{0,2}\.\d{3}(?:[^0-9.,].*)?$"
_OPEN_COMMA = r"^[^0-9.,]*[1-9]\d{0,2},\d{3}(?:[^0-9.,].*)?$"


_PATTERNS = {
    "dot": _PROOF_DOT,
    "comma": _PROOF_COMMA,
    "open_dot": _OPEN_DOT,
    "open_comma": _OPEN_COMMA,
}


_COMPILED = {fact: re.compile(pattern, re.ASCII) for fact, pattern in _PATTERNS.items()}


@dataclass(frozen=True)
class Evidence:
    """What the cells of one column say about the decimal sign."""

    dot: bool
    comma: bool
    open_dot: bool
    open_comma: bool


def evidence(columns: Mapping[int, pl.Series]) -> dict[int, Evidence]:
    """What the tidied cells of each column say about the decimal sign."""
    if all(column.len() <= SMALL for column in columns.values()):
        return {index: evidence_of(column.to_list()) for index, column in columns.items()}
    texts = pl.DataFrame([column.alias(str(index)) for index, column in columns.items()])
    found = texts.select(
        pl.col(name).str.contains(pattern).any().alias(f"{name} {fact}")
        for name in texts.columns
        for fact, pattern in _PATTERNS.items()
    ).row(0)
    step = len(_PATTERNS)
    return {
        index: _settled(Evidence(*map(bool, found[at * step : (at + 1) * step])))
        for at, index in enumerate(columns)
    }


def evidence_of(cells: Iterable[str | None]) -> Evidence:
    """The same for one column, cell by cell; stops when nothing more can be learnt."""
    kept = [cell for cell in cells if cell is not None and ("." in cell or "," in cell)]
    facts = dict.fromkeys(_PATTERNS, False)
    signs = {"dot": any("." in cell for cell in kept), "comma": any("," in cell for cell in kept)}
    for cell in kept:
        for fact, pattern in _COMPILED.items():
            facts[fact] = facts[fact] or pattern.match(cell) is not None
        if signs["dot"] != signs["comma"] and (facts["dot"] or facts["comma"]):
            break
    return _settled(Evidence(**facts))


def _settled(found: Evidence) -> Evidence:
    """Without what reads either way, once the column proves a sign."""
    if found.dot or found.comma:
        return replace(found, open_dot=False, open_comma=False)
    return found


def decide_decimal(columns: Sequence[Evidence]) -> str | None:
    """The file's decimal sign when its cells prove one and none proves the other, else None."""
    dot = any(column.dot for column in columns)
    comma = any(column.comma for column in columns)
    if dot == comma:
        return None
    return "." if dot else ","


def is_open(column: Evidence) -> bool:
    """Whether the column holds cells that read either way and nothing that settles it."""
    return (column.open_dot or column.open_comma) and not (column.dot or column.comma)
