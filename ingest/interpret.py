"""From the header and cells of a sheet to the plan of what every column means.

The trip: kind → columns → decimal sign → units → sides → times → clubs. Whatever the file does not
settle becomes a question with the affected lines, and its column stays null; nothing else waits.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import polars as pl

from ingest.assign import (
    Readings,
    by_contents,
    file_languages,
    readings,
)
from ingest.column_units import Case, settle, stated_units, system_of
from ingest.decimals import decimals_of
from ingest.drafts import Draft, case_of, draft_column, hand_of
from ingest.duplicates import settle_duplicates
from ingest.kind_evidence import kind_of
from ingest.layout import VOCABULARY, Layout, declared
from ingest.options import Options
from ingest.plan import Plan, Question, TimePlan
from ingest.player_rows import QUESTION as WHOSE
from ingest.player_rows import named_players
from ingest.preamble import Told, read_preamble
from ingest.session_day import TimeContext
from ingest.sheet import Sheet
from ingest.side_signs import settle_signs
from ingest.surfaces import read_surface
from ingest.table_texts import Texts
from ingest.time_forms import looks_meant
from ingest.time_plan import Open, plan_time
from ingest.unit_doubts import doubted
from ingest.words import TABLE_OF

TIME_ROLES = frozenset({"when", "date", "elapsed", "zone"})


@dataclass(frozen=True)
class _Setting:
    """Everything that is known before the columns are looked at."""

    sheet: Sheet
    texts: Texts
    options: Options
    layout: Layout | None
    told: Told
    kind: str
    languages: frozenset[str]


def interpret(
    sheet: Sheet, texts: Texts, options: Options, layout: Layout | None, file_name: str
) -> Plan:
    """The plan for `sheet`.

    Raises:
        NoLayout: when the headers name no kind of export that is known.
    """
    kind = options.kind or (layout.kind if layout else kind_of(sheet, texts, options, file_name))
    told = read_preamble(sheet, file_name)
    setting = _Setting(
        sheet, texts, options, layout, told, kind, file_languages(sheet.header, kind)
    )
    return _plan(setting)


def _plan(setting: _Setting) -> Plan:
    found = _readings(setting)
    roles = [r for r in found if len(r.columns) == 1 and r.columns[0] in TIME_ROLES]
    roles += _meant_as_times(found, setting)
    decimal, by_column = decimals_of(
        setting.texts, found, setting.kind, _said_decimal(setting), setting.options.answers
    )
    drafts = settle_signs(_settle_units(_drafts(found, by_column, setting), setting))
    drafts, questions = settle_duplicates(drafts, setting.texts, setting.kind, setting.options)
    time, opened, unused = _time(roles, decimal, setting)
    player, asked_whose = named_players(found, setting.texts, setting.options.answers)
    questions += [*_unit_questions(drafts, setting), *_time_questions(time, opened, setting)]
    questions += asked_whose
    columns = tuple(draft.plan for draft in drafts if draft.kept)
    used = {plan.index for plan in columns} | {r.index for r in roles if r.index not in unused}
    side_words = [r.index for r in found if r.columns == ("side_word",)]
    asked = {p.index for q in questions for p in q.plans if q.kind != "whose"}
    unknown = tuple(
        (index, header)
        for index, header in enumerate(setting.sheet.header)
        if index not in used | asked | set(side_words[:1])
    )
    return Plan(
        kind=setting.kind,
        layout=setting.layout.label if setting.layout else VOCABULARY,
        columns=columns,
        time=time,
        unknown=unknown,
        decimal=decimal,
        side_word=side_words[0] if side_words else None,
        side_word_header=setting.sheet.header[side_words[0]] if side_words else "",
        club_from_preamble=setting.told.said.get("club"),
        surface=_surface(setting),
        questions=tuple(questions),
        languages=setting.languages,
        hand=next((h for c in columns if (h := hand_of(setting, c.column))), None),
        player=player,
        wanted=setting.options.answers.get(WHOSE),
    )


def _meant_as_times(found: Sequence[Readings], setting: _Setting) -> list[Readings]:
    """Columns called a time whose cells cannot be read as one."""
    return [
        replace(reading, columns=("when",))
        for reading in found
        if not reading.columns
        and f"meaning:{reading.header.text}" not in setting.options.answers
        and {m.column for m in reading.header.matches.get(setting.kind, ())} <= {"when", "date"}
        and looks_meant(reading.header, setting.texts.samples[reading.index])
    ]


def _surface(setting: _Setting) -> str | None:
    """What all balls of the file were struck from: as the user says, else as its preamble does."""
    said = setting.options.surface or setting.told.said.get("surface")
    return read_surface(said) if said and setting.kind == "launch" else None


def _drafts(
    found: list[Readings], by_column: Mapping[int, str | None], setting: _Setting
) -> list[Draft]:
    return [
        draft_column(reading, column, by_column, setting)
        for reading in found
        for column in reading.columns
        if column not in TIME_ROLES and column not in {"player", "side_word"}
    ]


def _said_decimal(setting: _Setting) -> str | None:
    told = setting.told.said.get("decimal", "").strip().casefold()
    named = {",": ",", ".": ".", "comma": ",", "point": ".", "komma": ",", "punkt": "."}.get(told)
    return setting.options.decimal or named or (setting.layout.decimal if setting.layout else None)


def _readings(setting: _Setting) -> list[Readings]:
    """The readings of every header, with what a declared layout says put first."""
    sheet, texts = setting.sheet, setting.texts
    found = readings(
        sheet.header, sheet.units, texts.samples, setting.kind, setting.options.answers
    )
    result = []
    for reading in found:
        column = declared(setting.layout, sheet.header[reading.index])
        if column is not None and f"meaning:{column.header}" not in setting.options.answers:
            names = () if column.column == "unknown" else (column.column,)
            result.append(replace(reading, columns=names))
        else:
            result.append(reading)
    return by_contents(result, texts.samples)


def _settle_units(drafts: Sequence[Draft], setting: _Setting) -> list[Draft]:
    """Every draft with its unit, or with the question that keeps it open."""
    table = TABLE_OF[setting.kind]
    stated = stated_units(setting.told.said)
    system = system_of(setting.told.said.get("units", ""))
    cases: dict[str, Case] = {}
    for draft in drafts:
        case = case_of(draft, setting.kind)
        if case is not None:
            cases.setdefault(draft.plan.column, case)
    settled = settle(cases, stated, system, table)
    named = [
        draft.plan.column for draft in drafts
    ]  # of two headers for one, which is not known yet
    doubts = doubted({n: case for n, case in settled.items() if named.count(n) == 1}, table)
    result = []
    for draft in drafts:
        own = case_of(draft, setting.kind)
        if own is None:
            result.append(draft)
            continue
        case = settled[draft.plan.column]
        if case.plan.index != draft.plan.index:
            case = settle({draft.plan.column: own}, stated, system, table)[draft.plan.column]
        result.append(_with_unit(draft, case, doubts.get(draft.plan.column)))
    return result


def _with_unit(draft: Draft, case: Case, doubt: tuple[tuple[str, ...], str] | None) -> Draft:
    plan = draft.plan
    if doubt is not None and case.unit is not None:
        plan = replace(plan, unit=None, unit_from=None, open=(*plan.open, "unit"))
        return replace(draft, plan=plan, candidates=doubt[0], why=doubt[1])
    if case.unit is not None:
        settled = replace(plan, unit=case.unit, unit_from=case.plan.unit_from)
        return replace(draft, plan=replace(settled, inverse=case.plan.inverse))
    if case.all_cells_have_units:
        return replace(draft, plan=replace(plan, unit=None, unit_from="cell"))
    why = "no unit is stated and the numbers allow more than one"
    why = f"{draft.foreign!r} is no unit of length or time by itself" if draft.foreign else why
    return replace(
        draft, plan=replace(plan, open=(*plan.open, "unit")), candidates=case.candidates, why=why
    )


def _unit_questions(drafts: Sequence[Draft], setting: _Setting) -> list[Question]:
    """Questions for the columns that are kept but open: unit, decimal sign, side."""
    questions = []
    for draft in drafts:
        if not draft.kept:
            continue
        for kind in draft.plan.open:
            candidates, why = draft.open_point(kind)
            lines, raws = lines_of(setting.texts, [draft.plan.index])
            questions.append(
                Question(
                    id=f"{kind}:{draft.plan.column}",
                    kind=kind,
                    column=draft.plan.column,
                    header=draft.plan.header,
                    candidates=candidates,
                    lines=lines,
                    why=why,
                    plans=(draft.plan,),
                    raws=raws,
                )
            )
    return questions


def lines_of(
    texts: Texts, indices: Sequence[int], rows: Sequence[int] | None = None
) -> tuple[tuple[int, ...], tuple[tuple[str | None, ...], ...]]:
    """Lines that hold something in these columns, and the texts of each column on those lines."""
    frame = texts.tidy.select(pl.col(str(index)) for index in indices)
    frame = frame.with_columns(texts.lines.alias("line"))
    if rows is not None:
        frame = frame[list(rows)]
    frame = frame.filter(pl.any_horizontal(pl.col(str(i)).is_not_null() for i in set(indices)))
    raws = tuple(tuple(frame[str(index)].to_list()) for index in indices)
    return tuple(frame["line"].to_list()), raws


def _time(
    roles: Sequence[Readings], decimal: str | None, setting: _Setting
) -> tuple[TimePlan | None, list[Open], list[int]]:
    layout = setting.layout
    context = TimeContext(
        kind=setting.kind,
        options=setting.options,
        told=setting.told,
        languages=setting.languages,
        decimal=decimal,
        layout_zone=layout.zone if layout else None,
        layout_order=layout.date_order if layout else None,
        units=setting.sheet.units,
    )
    named = [(r.index, setting.sheet.header[r.index], r.columns[0]) for r in roles]
    return plan_time(named, setting.texts.tidy, context)


def _time_questions(
    time: TimePlan | None, opened: Sequence[Open], setting: _Setting
) -> list[Question]:
    if time is None or not opened:
        return []
    indices = [index for index, _, _ in time.roles]
    lines, raws = lines_of(setting.texts, indices)
    return [
        Question(
            id=f"{point.kind}:{time.column}",
            kind=point.kind,
            column=time.column,
            header=time.roles[-1][1] if point.kind != "date_order" else time.roles[0][1],
            candidates=point.candidates,
            lines=lines,
            why=point.why,
            time=time,
            raws=raws,
        )
        for point in opened
    ]
