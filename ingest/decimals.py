"""The decimal sign of every numeric column of a file, by the rules of `ingest/decimal_sign.py`."""

from collections.abc import Mapping, Sequence

import polars as pl

from ingest.assign import Readings, looks_like_times
from ingest.column_units import LIKELY
from ingest.decimal_sign import Evidence, decide_decimal, evidence, is_open
from ingest.number_columns import plain_share, read_column
from ingest.plan import dimension_of
from ingest.table_texts import Texts
from ingest.units import UNITS
from ingest.words import TABLE_OF
from schemas.tables import columns

LEAST_SPIN_RPM = 30.0
"""No file holds only struck balls that turn more slowly (common practice, no source)."""
_TEXT = frozenset(
    {"when", "date", "elapsed", "zone", "player", "note", "club_text", "session_label"}
)


def decimals_of(
    texts: Texts,
    found: Sequence[Readings],
    kind: str,
    said: str | None,
    answers: Mapping[str, str],
) -> tuple[str | None, dict[int, str | None]]:
    """(the file's decimal sign, the sign of each column by position; None = open)."""
    numeric = [r.index for r in found if _is_numeric(r, texts.samples[r.index])]
    facts = evidence({index: texts.tidy.to_series(index) for index in numeric})
    if said is not None:
        return said, dict.fromkeys(facts, said)
    whole = decide_decimal(list(facts.values())) or _pure(list(facts.values()))
    if whole is None:
        whole = _by_limits(texts.tidy, found, facts, kind)
    told = {
        r.index: sign for r in found for c in r.columns if (sign := answers.get(f"decimal:{c}"))
    }
    return whole, {i: told.get(i) or _own(fact, whole) for i, fact in facts.items()}


def _is_numeric(reading: Readings, cells: Sequence[str]) -> bool:
    if set(reading.columns) & _TEXT:
        return False
    return plain_share(cells) >= 0.5 and (bool(reading.columns) or not looks_like_times(cells))


def _pure(facts: Sequence[Evidence]) -> str | None:
    """The sign of the columns that prove only one, when no column proves only the other."""
    dot = any(fact.dot and not fact.comma for fact in facts)
    comma = any(fact.comma and not fact.dot for fact in facts)
    if dot == comma:
        return None
    return "." if dot else ","


def _own(fact: Evidence, whole: str | None) -> str | None:
    if whole is not None:
        return whole
    if fact.dot != fact.comma:
        return "." if fact.dot else ","
    return None if fact.dot or is_open(fact) else "."


def _by_limits(
    texts: pl.DataFrame, found: Sequence[Readings], facts: dict[int, Evidence], kind: str
) -> str | None:
    """The sign that some column's limits leave as the only possible one, in any unit."""
    votes = set()
    for reading in found:
        fact = facts.get(reading.index)
        if fact is None or not is_open(fact) or len(reading.columns) != 1:
            continue
        possible = [
            sign
            for sign in (".", ",")
            if _possible(texts.to_series(reading.index), sign, reading, kind)
        ]
        if len(possible) == 1:
            votes.add(possible[0])
    return votes.pop() if len(votes) == 1 else None


def _possible(cells: pl.Series, sign: str, reading: Readings, kind: str) -> bool:
    column = reading.columns[0]
    dimension = dimension_of(column, kind)
    if dimension is None:
        return True
    limits = columns(TABLE_OF[kind])[column]
    values = read_column(cells, sign, dimension, True).values.drop_nulls()
    low = limits.minimum if limits.minimum is not None else float("-inf")
    low = LEAST_SPIN_RPM if column == "spin_rpm" else low
    high = limits.maximum if limits.maximum is not None else float("inf")
    return any(
        bool(values.is_between(low / scale, high / scale).all())
        for scale in (UNITS[code].to_si(1.0) for code in LIKELY[dimension])
    )
