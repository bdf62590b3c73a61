"""One export read: every kept row in canonical columns, and an account of every other line.

`ingest/read_export.py` is the way in; `ingest/preview_json.py` prints a reading,
`ingest/answers.py` completes its open questions. Nothing is written anywhere.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import polars as pl

from ingest.errors import IngestError, NoLayout
from ingest.interpret import interpret, lines_of
from ingest.layout import Layout, match_layout
from ingest.normalise import Fault, Normalised, as_extra_series, extra_of, normalise
from ingest.options import Options
from ingest.plan import SIGNED_SIDE, ColumnPlan, Plan, Question, TimePlan
from ingest.player_rows import rows_of_others
from ingest.repeats import Repeat, find_repeats
from ingest.section_columns import with_section_columns
from ingest.section_headings import with_sessions
from ingest.set_aside import SetAside, file_fault, from_row_faults, set_aside_of
from ingest.sheet import Dialect, Sheet, Structure
from ingest.summaries import doubtful_summaries, unlabelled_summaries
from ingest.table_texts import Texts, texts_of
from ingest.validate import out_of_limits

__all__ = ["Mapped", "Options", "Question", "Reading", "Repeat", "SetAside", "read_sheet"]


@dataclass(frozen=True)
class Mapped:
    """A header and the canonical column it became, with its unit as UCUM code and whence it is."""

    header: str
    column: str
    unit: str | None
    unit_from: str | None


@dataclass(frozen=True)
class Reading:
    """Everything that one export holds; a rejected one has no rows and says why.

    `table` has the canonical columns that are in the file (SI, UTC) and `source_line`, `extra`.
    Of a workbook, `sheets` were read and `other_sheets` not; `other_kinds` are the kinds of those
    that hold events too.
    """

    name: str
    kind: str
    outcome: str
    header_line: int | None
    mapped: tuple[Mapped, ...] = ()
    unknown_columns: tuple[str, ...] = ()
    metadata: Mapping[str, str] = field(default_factory=dict)
    table: pl.DataFrame = field(default_factory=pl.DataFrame)
    set_aside: tuple[SetAside, ...] = ()
    repeats: tuple[Repeat, ...] = ()
    structure: tuple[Structure, ...] = ()
    questions: tuple[Question, ...] = ()
    layout: str = ""
    dialect: Dialect | None = None
    n_lines: int = 0
    reason: str | None = None
    mend: str | None = None
    code: str | None = None
    sheet: Sheet | None = None
    plan: Plan | None = None
    other_sheets: tuple[str, ...] = ()
    sheets: tuple[str, ...] = ()
    other_kinds: tuple[str, ...] = ()


def read_sheet(
    sheet: Sheet, *, name: str, options: Options, layouts: Sequence[Layout] = ()
) -> Reading:
    """Give one sheet its meaning."""
    layout = match_layout(sheet.header, layouts)
    told = with_section_columns(sheet)
    texts = texts_of(told)
    try:
        plan = interpret(told, texts, options, layout, name)
    except NoLayout as error:
        return _rejected(sheet, name, error)
    return _only_of_file(_apply(told, texts, plan, name), sheet)


def _only_of_file(reading: Reading, sheet: Sheet) -> Reading:
    """Without the headers of columns that headings of `sheet` were turned into."""
    n_added = len(reading.sheet.header) - len(sheet.header) if reading.sheet else 0
    if not n_added or reading.plan is None:
        return reading
    own = mapped_of(reading.plan, [], len(sheet.header))
    return replace(reading, mapped=tuple(entry for entry in reading.mapped if entry in own))


def _rejected(sheet: Sheet, name: str, error: IngestError) -> Reading:
    """Nothing lands, and every row says why."""
    rows = file_fault(sheet, error.code, error.reason, error.mend)
    return Reading(
        name=name,
        kind="unknown",
        outcome="rejected",
        header_line=sheet.header_line,
        unknown_columns=tuple(sheet.header),
        metadata=sheet.metadata,
        set_aside=_in_order(rows, sheet),
        structure=sheet.structure,
        dialect=sheet.dialect,
        n_lines=sheet.n_lines,
        reason=error.reason,
        mend=error.mend,
        code=error.code,
        sheet=sheet,
    )


def _apply(sheet: Sheet, texts: Texts, plan: Plan, name: str) -> Reading:
    done = normalise(plan, texts.tidy, texts.plain, texts.parsed)
    frame = with_sessions(done.frame, sheet, texts, plan)
    numbers = _measured(plan, done)
    summaries = set(unlabelled_summaries(plan, numbers, texts.tidy))
    doubtful = doubtful_summaries(plan, numbers, texts.tidy, summaries)
    wrong = _wrong(plan, done, texts, doubtful)
    faults = _first_faults([*wrong, *out_of_limits(frame, plan, texts.tidy)], summaries)
    keepable = [row not in faults and row not in summaries for row in range(frame.height)]
    repeats = find_repeats(plan, texts.plain, keepable)
    kept = [r for r in range(frame.height) if keepable[r] and r not in repeats]
    lines = texts.lines
    extra = extra_of(plan, texts.plain, done.marked, done.dropped)
    table = frame.hstack([lines, as_extra_series(extra)])
    if len(kept) < frame.height:
        table = table[kept]
    aside = [set_aside_of(f, lines[r], texts.raws[r], plan.table) for r, f in faults.items()]
    found = _summary_lines(sheet, texts, summaries)
    dropped = tuple(column.header for column in done.dropped)
    return Reading(
        name=name,
        kind=plan.kind,
        outcome="ok",
        header_line=sheet.header_line,
        mapped=mapped_of(plan, done.dropped),
        unknown_columns=(*(header for _, header in plan.unknown), *dropped),
        metadata=sheet.metadata,
        table=table,
        set_aside=_in_order(aside, sheet),
        repeats=tuple(Repeat(lines[row], lines[first]) for row, first in sorted(repeats.items())),
        structure=tuple(sorted([*sheet.structure, *found], key=lambda entry: entry.line)),
        questions=_kept_questions(plan, done, texts, kept),
        layout=plan.layout,
        dialect=sheet.dialect,
        n_lines=sheet.n_lines,
        sheet=sheet,
        plan=plan,
    )


def _in_order(rows: Sequence[SetAside], sheet: Sheet) -> tuple[SetAside, ...]:
    """These rows and those whose shape was found unsound, by line."""
    all_rows = [*rows, *from_row_faults(sheet.faults, sheet.header)]
    return tuple(sorted(all_rows, key=lambda row: row.line))


def _wrong(plan: Plan, done: Normalised, texts: Texts, doubtful: Sequence[int]) -> list[Fault]:
    """What keeps a row out before its values are looked at, the weightiest first."""
    unsure = [Fault(row, "", "", "perhaps_a_summary") for row in doubtful]
    names = texts.tidy.to_series(plan.player.index) if plan.player else None
    return [*unsure, *rows_of_others(plan, names), *done.faults]


def _summary_lines(sheet: Sheet, texts: Texts, summaries: set[int]) -> list[Structure]:
    return [
        Structure(texts.lines[row], "summary", sheet.records[row].n_lines, texts.raws[row])
        for row in sorted(summaries)
    ]


def _measured(plan: Plan, done: Normalised) -> dict[int, pl.Series]:
    """The measured columns, by position in the file."""
    return {
        column.index: done.frame.get_column(column.column)
        for column in plan.columns
        if not column.open
        and column.column in done.frame.columns
        and done.frame.get_column(column.column).dtype.is_float()
    }


def _first_faults(faults: Sequence[Fault], summaries: set[int]) -> dict[int, Fault]:
    """The first fault of each row, in the order of rows."""
    first: dict[int, Fault] = {}
    for fault in faults:
        if fault.row not in summaries:
            first.setdefault(fault.row, fault)
    return dict(sorted(first.items()))


def mapped_of(
    plan: Plan, dropped: Sequence[ColumnPlan], width: int | None = None
) -> tuple[Mapped, ...]:
    """The headers (of the first `width` columns) that became columns, in the order of the file."""
    entries = {
        column.index: Mapped(column.header, column.column, column.unit, column.unit_from)
        for column in plan.columns
        if column not in dropped
    }
    sided = next((c.column for c in plan.columns if c.column in SIGNED_SIDE), None)
    if plan.side_word is not None and sided is not None:
        entries[plan.side_word] = Mapped(plan.side_word_header, sided, None, None)
    if plan.time is not None:
        for index, header, _ in plan.time.roles:
            entries[index] = Mapped(header, plan.time.column, None, plan.time.zone_from)
    return tuple(entries[index] for index in sorted(entries) if width is None or index < width)


def _kept_questions(
    plan: Plan, done: Normalised, texts: Texts, kept: Sequence[int]
) -> tuple[Question, ...]:
    """The plan's questions about the rows that were kept, and those of the clocks' change."""
    lines = set(texts.lines[list(kept)].to_list()) if kept else set()
    questions = [_only_lines(question, lines) for question in plan.questions]
    for kind, rows in (("skipped_hour", done.skipped), ("repeated_hour", done.doubled)):
        on = [row for row in rows if texts.lines[row] in lines]
        if on and plan.time is not None:
            questions.append(_clock_change(kind, on, plan, texts))
    return tuple(question for question in questions if question.lines)


def _only_lines(question: Question, lines: set[int]) -> Question:
    keep = [at for at, line in enumerate(question.lines) if line in lines]
    if len(keep) == len(question.lines):
        return question
    return replace(
        question,
        lines=tuple(question.lines[at] for at in keep),
        raws=tuple(tuple(texts[at] for at in keep) for texts in question.raws),
    )


CLOCK_CHANGES = {
    "skipped_hour": "the clocks of {zone} skipped this hour",
    "repeated_hour": "the clocks of {zone} showed this hour twice",
}


def _clock_change(kind: str, rows: Sequence[int], plan: Plan, texts: Texts) -> Question:
    assert plan.time is not None
    lines, raws = lines_of(texts, [index for index, _, _ in plan.time.roles], rows)
    return clock_question(kind, plan.time, lines, raws)


def clock_question(
    kind: str,
    time: TimePlan,
    lines: tuple[int, ...],
    raws: tuple[tuple[str | None, ...], ...],
) -> Question:
    """The question about local times in an hour that the clocks skipped or showed twice."""
    return Question(
        id=f"{kind}:{time.column}",
        kind=kind,
        column=time.column,
        header=time.roles[-1][1],
        candidates=("earlier", "later"),
        lines=lines,
        why=CLOCK_CHANGES[kind].format(zone=time.zone or "the stated zone"),
        time=time,
        raws=raws,
    )
