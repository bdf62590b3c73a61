"""The lesson sheet in words: one side of paper, or a page, from the same document.

`sheet_of` gives every sentence and number ready to print in the reader's language and units, and
the three drawings as figures. Where rows lack, the sheet says so in a plain sentence.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from analytics.answer import FIT_VERSION
from analytics.carry_ladder import LadderCell
from analytics.homework import GivenHomework
from analytics.leave import NEAR_M, LeaveSummary
from analytics.leaves import placed
from analytics.lesson import Conditions, Lesson
from analytics.scored_rules import built_in_rules
from analytics.scores import ScoreHistory
from api.charts_bracket import last_triples
from api.charts_leave import face
from api.finding_words import say_findings
from api.page_view import View
from api.plots.svg import Figure
from api.wording import Wording

RUNGS_SHOWN = 8
TOTALS_SHOWN = 8
TESTS_SHOWN = 2
HOMEWORK_SHOWN = 4
LACKS_SHOWN = 3
FIRST_TEST = "nine_station_hole_out@1"


@dataclass(frozen=True)
class Rung:
    """One line of the carry card, as text."""

    swing: str
    carry: str
    one_ball: str
    counts: str
    state: str


@dataclass(frozen=True)
class ScoredRow:
    """One scored test, as text: its last totals with their days, and what they say."""

    title: str
    totals: tuple[tuple[str, str], ...]
    words: tuple[str, ...]


@dataclass(frozen=True)
class Task:
    """One piece of homework, as text; `boxes` are the blocks to tick off."""

    title: str
    words: tuple[str, ...]
    boxes: int


@dataclass(frozen=True)
class Blank:
    """What paper offers to be filled in by hand while there are no rows: a face, a test's boxes."""

    leave: Figure | None
    test: str
    stations: tuple[str, ...]


@dataclass(frozen=True)
class LessonSheet:
    """Everything on the sheet, as text in the reader's language and units, and its drawings."""

    name: str
    day: str
    conditions: str
    clear: str
    open: str
    card: tuple[Rung, ...]
    bracket: Figure | None
    leave: Figure | None
    leave_words: str
    tests: tuple[ScoredRow, ...]
    blank: "Blank"
    homework: tuple[Task, ...]
    cautions: tuple[str, ...]
    small_print: str


def sheet_of(view: View, told: Lesson, made_on: date) -> LessonSheet:
    """The sheet of one player; `made_on` is the local day it is printed for."""
    profile = told.profile
    words = Wording(view.language, view.units)
    bracket = last_triples(view, profile.feedback, profile.brackets, 1)
    name = (profile.display_name or profile.player_id).split()
    dry = told.leaves.dry if told.leaves else None
    marks = placed(told.leaves.marks) if told.leaves else []
    return LessonSheet(
        name=name[0] if name else profile.player_id,
        day=view.day(profile.last_day or made_on),
        conditions=_conditions(view, told.conditions),
        clear=_finding(view, told, "clear"),
        open=_finding(view, told, "open"),
        card=tuple(_rung(view, cell) for cell in _shown(told.ladder)),
        bracket=bracket[0] if bracket else None,
        leave=face(view, marks) if marks else None,
        blank=_blank(view, bool(marks), bool(told.tests)),
        leave_words=_leave_words(view, dry),
        tests=tuple(_test(view, one) for one in _newest(told.tests)),
        homework=tuple(_task(view, one) for one in told.homework[-HOMEWORK_SHOWN:]),
        cautions=tuple(words.text(f"caution.{one}") for one in profile.cautions),
        small_print=_small_print(view, told, made_on),
    )


def _finding(view: View, told: Lesson, which: str) -> str:
    profile = told.profile
    found = profile.clear if which == "clear" else profile.open
    if found is None:
        known = _so_far(view, told) if which == "clear" else _lacking(view, told)
        return f"{view.texts.say(f'sheet.no_{which}')} {known}".strip()
    said = say_findings(view, [found], profile.handedness)[0]
    return f"{said.sentence} {said.grounds}".strip()


def _so_far(view: View, told: Lesson) -> str:
    """The carry known best, while nothing else is clear."""
    known = [cell for cell in told.ladder if cell.centre.value is not None]
    if not known:
        return ""
    best = max(known, key=lambda cell: cell.centre.n_shots)
    rung = _rung(view, best)
    return view.texts.say(
        "sheet.so_far",
        swing=rung.swing,
        carry=rung.carry,
        one_ball=rung.one_ball,
        state=rung.state,
    )


def _lacking(view: View, told: Lesson) -> str:
    """What the carries still lack, the ones hit most first."""
    early = [cell for cell in told.ladder if cell.centre.need]
    early.sort(key=lambda cell: -cell.centre.n_shots)
    lacks = [
        f"{view.phrase(cell.name)} {view.phrase(cell.centre.need)}" for cell in early[:LACKS_SHOWN]
    ]
    return view.texts.say("sheet.lacking", lacks="; ".join(lacks)) if lacks else ""


def _blank(view: View, marked: bool, tested: bool) -> Blank:
    rules = built_in_rules()[FIRST_TEST]
    title = view.texts.say(
        "sheet.test_title", title=view.phrase(rules.title), target=view.number(rules.target, 0)
    )
    stations = () if tested else tuple(view.station(one) for one in rules.stations)
    return Blank(None if marked else face(view, []), title, stations)


def _conditions(view: View, one: Conditions | None) -> str:
    if one is None:
        return ""
    say = view.texts.say
    parts = [one.place or ""]
    if one.green_speed_ft is not None:
        parts.append(say("sheet.green", speed=view.number(one.green_speed_ft)))
    if one.slope_deg:
        parts.append(say("sheet.slope", slope=view.quantity(one.slope_deg, "deg")))
    parts.append(view.phrase(one.wetness or ""))
    if one.window_near_m is not None and one.window_far_m is not None:
        near = view.number(view.to_length(one.window_near_m))
        parts.append(say("sheet.window", near=near, far=view.quantity(one.window_far_m, "m")))
    return ", ".join(part for part in parts if part)


def _shown(ladder: Sequence[LadderCell]) -> Sequence[LadderCell]:
    """The rungs with most balls when there are too many, still shortest first."""
    most = sorted(ladder, key=lambda cell: -cell.centre.n_shots)[:RUNGS_SHOWN]
    return [cell for cell in ladder if cell in most]


def _rung(view: View, cell: LadderCell) -> Rung:
    centre = cell.centre
    state = view.texts.say(f"state.{centre.state}") + _lacks(view, centre.need)
    return Rung(
        swing=view.phrase(cell.name),
        carry=view.quantity(centre.value, "m"),
        one_ball=view.interval(cell.one_shot.low, cell.one_shot.high, "m"),
        counts=f"{centre.n_shots}/{centre.n_sessions}",
        state=state,
    )


def _lacks(view: View, need: str) -> str:
    return f": {view.phrase(need)}" if need else ""


def _leave_words(view: View, dry: LeaveSummary | None) -> str:
    if dry is None:
        return view.texts.say("sheet.no_leave")
    zone = dry.leave_zone
    return view.texts.say(
        "sheet.leave_words",
        near=view.quantity(NEAR_M, "m"),
        share=view.quantity(zone.value, "share"),
        low=view.quantity(zone.low, "share"),
        high=view.quantity(zone.high, "share"),
        chance=view.quantity(zone.by_chance, "share"),
        state=view.texts.say(f"state.{zone.state}") + _lacks(view, zone.need),
    )


def _newest(tests: Sequence[ScoreHistory]) -> Sequence[ScoreHistory]:
    played = [one for one in tests if one.sittings]
    return sorted(played, key=lambda one: one.sittings[-1].day, reverse=True)[:TESTS_SHOWN]


def _test(view: View, one: ScoreHistory) -> ScoredRow:
    say = view.texts.say
    line = view.number(one.noise.real_change, 0)
    verdict = one.change.verdict.replace(" ", "_")
    difference = view.number(abs(one.change.difference), 0)
    words = [say(f"test.change_{verdict}", difference=difference, line=line)]
    chance = one.target_chance
    if chance is not None and chance.state != "too_early":
        words.append(
            say(
                "sheet.target",
                target=view.number(one.rules.target, 0),
                chance=view.quantity(chance.value, "share"),
                low=view.quantity(chance.low, "share"),
                high=view.quantity(chance.high, "share"),
            )
        )
    words.append(say("sheet.line", line=line))
    totals = tuple(
        (view.short_day(sitting.day), view.number(sitting.total, 0))
        for sitting in one.sittings[-TOTALS_SHOWN:]
    )
    target = view.number(one.rules.target, 0)
    title = say("sheet.test_title", title=view.phrase(one.rules.title), target=target)
    return ScoredRow(title, totals, tuple(words))


def _task(view: View, one: GivenHomework) -> Task:
    size = f"{one.blocks} × {one.balls_per_block}" if one.blocks else ""
    club = f" {one.club}" if one.club else ""
    due = view.texts.say("sheet.due", day=view.day(one.due_day)) if one.due_day else ""
    parts = [view.phrase(one_part or "") for one_part in (one.task, one.stop_rule, one.target_text)]
    title = f"{view.phrase(one.title or '')}{club} {size}".strip()
    return Task(title, tuple(p for p in [*parts, due] if p), one.blocks or 1)


def _small_print(view: View, told: Lesson, made_on: date) -> str:
    mishits = sum(cell.n_coach + cell.n_rule for cell in told.ladder)
    putting = ""
    if told.leaves is not None:
        putting = view.texts.say(
            "sheet.putting", label=view.phrase(told.leaves.putting.model.label)
        )
    return view.texts.say(
        "sheet.small",
        shots=told.profile.n_shots,
        sessions=told.profile.n_sessions,
        mishits=mishits,
        level="90 %",
        length=view.length,
        speed=view.speed,
        putting=putting,
        as_of=view.day(made_on),
        version=FIT_VERSION,
    ).replace(". . ", ". ")
