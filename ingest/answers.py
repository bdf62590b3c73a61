"""Open questions answered from the texts they kept: rows completed without reading the file again.

`apply_answers` gives the values of the columns that the answers complete, by line. A question that
still waits for another (a unit, once the decimal sign is known) stays open with its answer put in.
The result equals a reading of the file with the same answers.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from typing import Any

import polars as pl

from ingest.instants import instants
from ingest.normalise import Normalised, normalise
from ingest.option_check import check_options
from ingest.options import Options
from ingest.plan import ColumnPlan, Plan, Question, TimePlan
from ingest.units import find_unit
from ingest.zone_texts import read_zone

Value = object


@dataclass
class Completed:
    """Values by column and line, texts that cannot be read by line, and what is still open.

    `clock_changes` are lines with a local time in an hour that the clocks skipped or showed twice;
    `settled` are the plans that the values were read by.
    """

    values: dict[str, dict[int, Value]] = field(default_factory=dict)
    unread: dict[int, tuple[str, str]] = field(default_factory=dict)
    open: tuple[Question, ...] = ()
    clock_changes: set[int] = field(default_factory=set)
    settled: list[ColumnPlan | TimePlan] = field(default_factory=list)


def apply_answers(
    kind: str, questions: Sequence[Question], answers: Mapping[str, str]
) -> Completed:
    """Complete what `answers` (question id → answer) settle among `questions` of one import.

    Raises:
        BadOption: for an answer that is none of the possible ones.
    """
    check_options(Options(answers=answers))
    done = Completed()
    open_: list[Question] = []
    for column in dict.fromkeys(question.column for question in questions):
        own = [question for question in questions if question.column == column]
        if own[0].time is not None:
            open_ += _complete_time(own, answers, done)
        else:
            open_ += _complete_column(kind, own, answers, done)
    done.open = tuple(open_)
    return done


def _complete_column(
    kind: str, own: Sequence[Question], answers: Mapping[str, str], done: Completed
) -> list[Question]:
    """The questions of one column that stay open."""
    left = [question for question in own if question.id not in answers]
    question = own[0]
    at = _chosen(question, answers)
    if at is None:
        return list(own)
    plan = question.plans[at]
    for asked in own:
        if asked.id in answers:
            plan = _with_answer(plan, asked.kind, answers[asked.id])
    unit = answers.get(f"unit:{plan.column}")
    if unit and not plan.unit:
        plan = _with_answer(plan, "unit", unit)
    if left or plan.open:
        return [replace(one, plans=(plan,), raws=(question.raws[at],)) for one in left or own]
    texts = pl.Series(str(plan.index), list(question.raws[at]), dtype=pl.String)
    hand = answers.get(f"hand:{plan.column}")
    _take(kind, plan, texts, question.lines, hand=hand, done=done)
    return []


def _chosen(question: Question, answers: Mapping[str, str]) -> int | None:
    """Which of the question's plans holds; None while nobody says."""
    if len(question.plans) == 1:
        return 0
    answer = answers.get(question.id)
    for at, plan in enumerate(question.plans):
        if answer is not None and answer in {plan.column, plan.header}:
            return at
    return None


def _with_answer(plan: ColumnPlan, kind: str, answer: str) -> ColumnPlan:
    open_ = tuple(point for point in plan.open if point != kind)
    if kind == "unit":
        return replace(plan, unit=find_unit(answer), unit_from="option", open=open_)
    if kind == "decimal":
        return replace(plan, decimal=answer, open=open_)
    if kind == "sign":
        return replace(plan, sign=-1 if answer == "left" else 1, open=open_)
    if kind == "hand":
        return replace(plan, open=open_)
    return plan


def _take(
    kind: str,
    plan: ColumnPlan,
    texts: pl.Series,
    lines: Sequence[int],
    *,
    hand: str | None,
    done: Completed,
) -> None:
    """Read the kept texts by the settled plan."""
    done.settled.append(plan)
    at_home = replace(plan, index=0)
    whole = Plan(kind, "", (at_home,), None, (), plan.decimal, hand=hand)
    frame = texts.rename("0").to_frame()
    result: Normalised = normalise(whole, frame, frame)
    for name in result.frame.columns:
        values = result.frame.get_column(name).to_list()
        done.values[name] = {
            line: value for line, value in zip(lines, values, strict=True) if value is not None
        }
    for fault in result.faults:
        done.unread[lines[fault.row]] = (fault.value, fault.code)


def _complete_time(
    own: Sequence[Question], answers: Mapping[str, str], done: Completed
) -> list[Question]:
    """The questions about the instant that stay open."""
    left: list[Question] = []
    for question in own:
        assert question.time is not None
        plan = _time_with_answers(question.time, answers)
        if question.id not in answers or "time_form" in plan.open:
            left.append(replace(question, time=plan))
        elif not plan.open:
            _take_instants(plan, question, done)
    return left


def _take_instants(plan: TimePlan, question: Question, done: Completed) -> None:
    """Read the kept texts by the settled plan."""
    found = instants(plan, [pl.Series(list(raw), dtype=pl.String) for raw in question.raws])
    done.settled.append(plan)
    done.clock_changes |= {question.lines[row] for row in (*found.skipped, *found.doubled)}
    known = done.values.setdefault(plan.column, {})
    for line, value in zip(question.lines, found.utc.to_list(), strict=True):
        if value is not None:
            known[line] = value
    for row, code in found.faults.items():
        done.unread[question.lines[row]] = (question.raws[0][row] or "", code)


def _time_with_answers(plan: TimePlan, answers: Mapping[str, str]) -> TimePlan:
    """The plan with every open point that an answer settles."""
    said = {kind: answers.get(f"{kind}:{plan.column}") for kind in _TIME_KINDS}
    plan = replace(
        plan,
        order=said["date_order"] or plan.order,
        day=said["day"] or plan.day,
        start=said["start"] or plan.start,
        year=int(said["year"]) if said["year"] else plan.year,
        elapsed_unit=find_unit(said["elapsed_unit"] or "", "time") or plan.elapsed_unit,
        skipped=said["skipped_hour"] or plan.skipped,
        doubled=said["repeated_hour"] or plan.doubled,
        open=tuple(point for point in plan.open if not said.get(point)),
    )
    if said["zone"]:
        offset, zone = read_zone(said["zone"])
        plan = replace(plan, offset_min=offset, zone=zone, zone_from="option")
    return plan


_TIME_KINDS = (
    "date_order",
    "day",
    "start",
    "year",
    "elapsed_unit",
    "zone",
    "skipped_hour",
    "repeated_hour",
)


def question_as_json(question: Question) -> dict[str, Any]:
    """A question as plain JSON values, nothing left out."""
    return {
        **asdict(question),
        "candidates": list(question.candidates),
        "lines": list(question.lines),
        "raws": [list(texts) for texts in question.raws],
    }


def question_from_json(data: Mapping[str, Any]) -> Question:
    """The question that `question_as_json` wrote."""
    plans = tuple(ColumnPlan(**{**p, "open": tuple(p["open"])}) for p in data["plans"])
    time = data["time"]
    return Question(
        id=data["id"],
        kind=data["kind"],
        column=data["column"],
        header=data["header"],
        candidates=tuple(data["candidates"]),
        lines=tuple(data["lines"]),
        why=data["why"],
        plans=plans,
        time=_time_plan(time) if time else None,
        raws=tuple(tuple(texts) for texts in data["raws"]),
        also_headers=tuple(data["also_headers"]),
    )


def _time_plan(data: Mapping[str, Any]) -> TimePlan:
    roles = tuple((int(index), str(header), str(role)) for index, header, role in data["roles"])
    return TimePlan(**{**data, "roles": roles, "open": tuple(data["open"])})
