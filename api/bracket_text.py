"""Brackets in sentences: day by day, the last triple, width against repeatability, findings."""

from collections.abc import Iterator, Sequence

from analytics.answer import Answer
from analytics.brackets import BracketDay, Brackets, TripleOdds
from analytics.discovery import Finding
from api.wording import Wording

NOTES = {"assumed": "assumed_order"}


def bracket_lines(shown: Brackets, say: Wording) -> Iterator[str]:
    """Everything about a player's brackets."""
    if not shown.days:
        yield say.text("bracket.none")
        return
    yield say.text("bracket.heading")
    for day in shown.days:
        yield from _day_lines(day, say)
    yield ""
    yield from width_lines(shown, say)
    yield ""
    if shown.last is not None:
        yield from triple_lines(shown.last, say)
        yield ""
    yield from finding_lines(shown.process, say)
    yield ""
    yield from finding_lines(shown.outcome, say)
    yield say.text("profile.together")


def _day_lines(day: BracketDay, say: Wording) -> Iterator[str]:
    yield "  " + say.text(
        "bracket.day",
        day=day.day or day.session_id,
        n=day.n_triples,
        width=say.length(day.width_m.value),
        low=say.length(day.width_m.low),
        high=say.length(day.width_m.high),
        held=say.share(day.window_held.value),
        between=say.share(day.shot_between.value),
    )
    if not day.window_given:
        yield "    " + say.text("bracket.assumed")


def width_lines(shown: Brackets, say: Wording) -> Iterator[str]:
    """Width to aim for, and how the latest day's compares."""
    hold: Answer = shown.width_to_hold_m
    if hold.value is None:
        yield say.text("bracket.open")
        return
    yield say.text(
        "bracket.to_hold",
        width=say.length(hold.value),
        low=say.length(hold.low),
        high=say.length(hold.high),
        sd=say.length(shown.repeatability_m.value),
    )
    yield say.text(f"bracket.{shown.width_word}")


def triple_lines(odds: TripleOdds, say: Wording) -> Iterator[str]:
    """One triple: three carries, each with its chance, and whether the window was held."""
    yield (
        say.text("bracket.last", ball=odds.row.ball)
        + " "
        + say.text("bracket.window", near=say.length(odds.near_m), far=say.length(odds.far_m))
    )
    missing = say.text("bracket.missing")
    for side, carry, chance in (
        ("long", odds.long_m, odds.long_past),
        ("short", odds.short_m, odds.short_of),
        ("shot", odds.row.carry_m, odds.shot_between),
    ):
        shown = missing if carry is None else say.length(carry)
        yield say.text(f"bracket.{side}", carry=shown, odds=say.share(chance))
    yield say.text("bracket.held", odds=say.share(odds.window_held))
    notes = [say.text(f"bracket.{NOTES.get(note, note)}") for note in odds.row.notes]
    if odds.row.mishit:
        notes.append(say.text("bracket.mishit"))
    if notes:
        yield "  " + "; ".join(notes)


def finding_lines(findings: Sequence[Finding], say: Wording, hand: str = "right") -> Iterator[str]:
    """Each finding as a sentence with its state."""
    for finding in findings:
        yield f"  [{say.state(finding.answer)}] {say.finding(finding, hand)}"
