"""Several tables of one source as one reading: sheets of a workbook, sessions of a text.

Tables join the first one when they are of its kind, share most of its columns and say which event
a row is wherever the first one does: a table of averages does not.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import chain
from operator import attrgetter
from typing import TypeVar

import polars as pl

from ingest.plan import INSTANT, Question
from ingest.reading import Reading

_NUMBERS = ("device_number", "ball_number")
_SHARED = 0.5
Entry = TypeVar("Entry")


def may_join(first: Reading, other: Reading) -> bool:
    """Whether the rows of `other` are events like those of `first`."""
    if other.outcome != "ok" or other.kind != first.kind:
        return False
    own, theirs = _columns(first), _columns(other)
    telling = {*_NUMBERS, INSTANT[first.kind]}
    if own & telling and not theirs & telling:
        return False
    return len(own & theirs) >= _SHARED * len(theirs) > 0


def tells_events(reading: Reading) -> bool:
    """Whether its rows are told apart by a number or an instant, as those of averages are not."""
    return bool(_columns(reading) & {*_NUMBERS, INSTANT[reading.kind]})


def _columns(reading: Reading) -> set[str]:
    return {entry.column for entry in reading.mapped}


def joined(readings: Sequence[Reading]) -> Reading:
    """One reading of all of them; the first gives name, dialect, layout and plan."""
    first = readings[0]
    tables = [reading.table for reading in readings]
    table = pl.concat(tables, how="diagonal_relaxed").sort("source_line", maintain_order=True)
    metadata: dict[str, str] = {}
    for reading in readings:
        metadata = {**reading.metadata, **metadata}
    return replace(
        first,
        table=table.select(*_last(table.columns)),
        mapped=tuple(dict.fromkeys(chain(*(r.mapped for r in readings)))),
        unknown_columns=tuple(dict.fromkeys(chain(*(r.unknown_columns for r in readings)))),
        metadata=metadata,
        set_aside=_in_order(r.set_aside for r in readings),
        repeats=_in_order(r.repeats for r in readings),
        structure=_in_order(r.structure for r in readings),
        questions=_questions(readings),
        n_lines=max(reading.n_lines for reading in readings),
    )


def _last(columns: Sequence[str]) -> list[str]:
    """The columns with those of the book-keeping at the end."""
    kept = ("source_line", "extra")
    return [*(c for c in columns if c not in kept), *(c for c in kept if c in columns)]


def _in_order(groups: Iterable[Sequence[Entry]]) -> tuple[Entry, ...]:
    return tuple(sorted(chain(*groups), key=attrgetter("line")))


def _questions(readings: Sequence[Reading]) -> tuple[Question, ...]:
    """All questions; those that ask the same about columns of the same plan become one."""
    found: list[Question] = []
    for question in chain(*(reading.questions for reading in readings)):
        at = next((i for i, one in enumerate(found) if _same(one, question)), None)
        if at is None:
            found.append(question)
        else:
            found[at] = _with_lines(found[at], question)
    return tuple(found)


def _same(one: Question, other: Question) -> bool:
    return one.id == other.id and _placeless(one) == _placeless(other)


def _placeless(question: Question) -> tuple[object, ...]:
    """What a question asks, whatever the place and name of its columns in the file."""
    plans = tuple(replace(plan, index=0, header="") for plan in question.plans)
    time = question.time
    if time is not None:
        time = replace(time, roles=tuple((0, "", role) for _, _, role in time.roles))
    return question.kind, question.candidates, plans, time


def _with_lines(question: Question, more: Question) -> Question:
    raws = tuple((*a, *b) for a, b in zip(question.raws, more.raws, strict=True))
    return replace(question, lines=(*question.lines, *more.lines), raws=raws)
