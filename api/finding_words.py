"""Findings as lines of a page: the catalogue's sentence, what it rests on, and its state."""

from collections.abc import Iterable
from dataclasses import dataclass

from analytics.discovery import Finding, Verdict
from analytics.feedback import Feedback
from analytics.focus import WITHOUT_A_FIND
from api.page_view import View
from api.wording import Wording


@dataclass(frozen=True)
class SaidFinding:
    """One finding in words."""

    key: str
    verdict: Verdict
    state: str
    state_word: str
    sentence: str
    grounds: str


def wording_of(view: View) -> Wording:
    """The sentences in the reader's language and units."""
    return Wording(view.language, view.units)


def say_findings(view: View, findings: Iterable[Finding], hand: str) -> list[SaidFinding]:
    """The findings in the order given; `hand` tells the side of a push or pull."""
    words = wording_of(view)
    return [
        SaidFinding(
            finding.key,
            finding.verdict,
            finding.answer.state,
            view.texts.say(f"state.{finding.answer.state}"),
            words.finding(finding, hand),
            "" if finding.verdict == "too_early" else words.grounds(finding),
        )
        for finding in findings
    ]


def say_focus(view: View, found: Feedback) -> str:
    """The focus for next time as a sentence, with what of it to expect."""
    words, focus = wording_of(view), found.focus
    if focus.key in WITHOUT_A_FIND:
        return words.text("focus.intro", focus=words.text(f"focus.{focus.key}"))
    real = words.amount(found.of(focus.key), abs(focus.expected))
    part = words.text("focus.expected", value=real)
    return words.text("focus.intro", focus=words.text(f"focus.{focus.key}", part=part))
