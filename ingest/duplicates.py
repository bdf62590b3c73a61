"""Two headers for one column, or one header for two: proved equal, chosen, or asked about.

Rules
- Of several numbering, club or text columns the first that serves is used; the others stay in
  `extra`.
- Two measured columns that hold the same quantity (equal in SI, within their rounding) are one: the
  first is used. Two that differ are a question.
- A header with several readings is a question; an answer names the column. It is none when other
  headers took all readings but one, and the numbers bear that one out (a total reaches its carry).
"""

from collections.abc import Sequence
from dataclasses import replace

import polars as pl

from ingest.column_units import fits_limits
from ingest.drafts import Draft, case_of
from ingest.options import Options
from ingest.plan import ColumnPlan, Question, dimension_of, value_type
from ingest.table_texts import Texts
from ingest.units import UNITS
from ingest.words import TABLE_OF

ROUNDING = 0.01


def settle_duplicates(
    drafts: Sequence[Draft], texts: Texts, kind: str, options: Options
) -> tuple[list[Draft], list[Question]]:
    """(drafts with at most one kept for each column and header, questions about the rest)."""
    questions: list[Question] = []
    result = _ambiguous_headers(list(drafts), texts, kind, questions)
    for column in dict.fromkeys(draft.plan.column for draft in result if draft.kept):
        same = [i for i, d in enumerate(result) if d.kept and d.plan.column == column]
        if len(same) < 2:
            continue
        chosen = _choose([result[i] for i in same], texts, kind, options)
        for i in same:
            if chosen is None or result[i].plan.index != chosen:
                result[i] = replace(result[i], kept=False)
        if chosen is None:
            questions.append(_question(column, [result[i].plan for i in same], texts))
    return result, questions


def _ambiguous_headers(
    drafts: list[Draft], texts: Texts, kind: str, questions: list[Question]
) -> list[Draft]:
    """Headers with several readings: drop readings that another header took, ask about the rest."""
    counts: dict[int, int] = {}
    for draft in drafts:
        counts[draft.plan.index] = counts.get(draft.plan.index, 0) + 1
    taken = {draft.plan.column for draft in drafts if counts[draft.plan.index] == 1}
    result = list(drafts)
    for index in [i for i, count in counts.items() if count > 1]:
        plans = [d.plan for d in drafts if d.plan.index == index]
        free = [plan for plan in plans if plan.column not in taken] or plans
        free = [plan for plan in free if _possible(plan, drafts, kind)] or free
        if len(free) == 1 and _borne_out(free[0], drafts, taken):
            result = [
                replace(d, kept=d.plan is free[0]) if d.plan.index == index else d for d in result
            ]
            continue
        result = [replace(d, kept=False) if d.plan.index == index else d for d in result]
        questions.append(_meaning(index, plans, free, texts))
    return result


_LEFT_OVER = {
    "total_m": ("carry_m", 1.0, 9.0),
    "carry_m": ("total_m", 0.1, 1.0),
    "club_speed_mps": ("ball_speed_mps", 0.6, 2.0),
    "ball_speed_mps": ("club_speed_mps", 0.5, 1.6),
}
"""A column, the one that it is told from, and between which multiples of that all of it lies."""


def _borne_out(plan: ColumnPlan, drafts: Sequence[Draft], taken: set[str]) -> bool:
    """Whether the only reading left is proved by the numbers of the reading that was taken."""
    other, low, high = _LEFT_OVER.get(plan.column, ("", 0.0, 0.0))
    if other not in taken:
        return False
    mine = next(d for d in drafts if d.plan is plan)
    twin = next(d for d in drafts if d.plan.column == other)
    if mine.numbers is None or twin.numbers is None or mine.plan.unit != twin.plan.unit:
        return False
    ratio = (mine.numbers.values / twin.numbers.values).drop_nulls()
    inside = ratio.is_between(low, high)
    return ratio.len() > 0 and bool(inside.all()) and bool((ratio != 1.0).any())


def _possible(plan: ColumnPlan, drafts: Sequence[Draft], kind: str) -> bool:
    """Whether the numbers can be that column in its unit, or in any likely one."""
    draft = next(d for d in drafts if d.plan.index == plan.index and d.plan.column == plan.column)
    case = case_of(draft, kind)
    if case is None:
        return True
    units = (plan.unit,) if plan.unit else case.candidates
    return any(fits_limits(case, unit, TABLE_OF[kind]) for unit in units)


def _meaning(
    index: int, plans: Sequence[ColumnPlan], free: Sequence[ColumnPlan], texts: Texts
) -> Question:
    lines, raws = lines_and_raws(texts, [index] * len(plans))
    header = plans[0].header
    return Question(
        id=f"meaning:{header}",
        kind="meaning",
        column=free[0].column,
        header=header,
        candidates=tuple(plan.column for plan in free),
        lines=lines,
        why=f"{header!r} may be any of these columns",
        plans=tuple(plans),
        raws=raws,
    )


def _choose(drafts: Sequence[Draft], texts: Texts, kind: str, options: Options) -> int | None:
    """The position of the column to use, None when the file does not settle it."""
    column = drafts[0].plan.column
    answer = options.answers.get(f"two_columns:{column}")
    for draft in drafts:
        if answer is not None and draft.plan.header == answer:
            return draft.plan.index
    if value_type(column, kind) == "integer":
        unique = [d for d in drafts if texts.tidy.to_series(d.plan.index).is_unique().all()]
        return (unique or list(drafts))[0].plan.index
    if dimension_of(column, kind) is None:
        return drafts[0].plan.index
    best = max(draft.score for draft in drafts)
    top = [draft for draft in drafts if draft.score >= best - 0.05]
    if len(top) == 1:
        return top[0].plan.index
    known = [draft for draft in top if not draft.plan.open and draft.plan.unit]
    if len(known) == len(top) and _all_equal(known):
        return known[0].plan.index
    filled = [draft for draft in top if draft.numbers and draft.numbers.values.count()]
    return filled[0].plan.index if len(filled) == 1 else None


def _all_equal(drafts: Sequence[Draft]) -> bool:
    first = _si(drafts[0])
    for other in drafts[1:]:
        gap = (first - _si(other)).abs()
        limit = first.abs() * ROUNDING + 0.06
        if not bool((gap <= limit).fill_null(True).all()) or gap.count() == 0:
            return False
    return True


def _si(draft: Draft) -> pl.Series:
    assert draft.numbers is not None
    assert draft.plan.unit is not None
    return draft.numbers.values * UNITS[draft.plan.unit].to_si(1.0) * draft.plan.sign


def _question(column: str, plans: Sequence[ColumnPlan], texts: Texts) -> Question:
    lines, raws = lines_and_raws(texts, [plan.index for plan in plans])
    headers = tuple(plan.header for plan in plans)
    return Question(
        id=f"two_columns:{column}",
        kind="two_columns",
        column=column,
        header=headers[0],
        candidates=headers,
        lines=lines,
        why=f"{', '.join(map(repr, headers))} all mean {column} and differ",
        plans=tuple(plans),
        raws=raws,
    )


def lines_and_raws(
    texts: Texts, indices: Sequence[int]
) -> tuple[tuple[int, ...], tuple[tuple[str | None, ...], ...]]:
    """Lines that hold something in these columns, and the texts of each column on those lines."""
    names = list(dict.fromkeys(str(index) for index in indices))
    frame = texts.tidy.select(names).with_columns(texts.lines.alias("line"))
    frame = frame.filter(pl.any_horizontal(pl.col(name).is_not_null() for name in names))
    raws = tuple(tuple(frame[str(index)].to_list()) for index in indices)
    return tuple(frame["line"].to_list()), raws
