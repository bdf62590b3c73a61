"""One player in five lines: what a coach wants to know first, each number with its doubt."""

import math
from collections.abc import Iterator

from analytics.answer import Answer
from analytics.brackets import BracketDay, TripleOdds
from analytics.discovery import Finding
from analytics.player_profile import PlayerProfile
from analytics.power_curve import CarryCurve
from api.curve_text import curve_name, state_words
from api.wording import Wording

LAST_TRIPLES = 3
LEVEL = 0.9


def short_answer(profile: PlayerProfile, say: Wording) -> Iterator[str]:
    """The player's lines: name, carry per club, last triples, one clear thing, one open thing."""
    days = "day" if profile.n_sessions == 1 else "days"
    yield (
        f"{profile.display_name or profile.player_id} ({profile.player_id}, "
        f"{profile.handedness}-handed{', junior' if profile.age_band == 'junior' else ''}): "
        f"{profile.n_shots} balls, {profile.n_swings} swings, {profile.n_sessions} {days}"
    )
    for line in carry_lines(profile.curves, say):
        yield f"  carry   {line}"
    yield f"  triples {triples_line(profile, say)}"
    for name, finding in (("clear", profile.clear), ("open", profile.open)):
        said = _said(finding, profile, say) if finding else say.text(f"first.none_{name}")
        yield f"  {name:<7} {said}"


def _said(finding: Finding, profile: PlayerProfile, say: Wording) -> str:
    """The finding with what it rests on."""
    rests_on = f"{finding.answer.n_shots} balls, {finding.answer.n_sessions} days"
    return f"{say.finding(finding, profile.handedness)} [{rests_on}]"


def carry_lines(curves: tuple[CarryCurve, ...], say: Wording) -> Iterator[str]:
    """Each club's carry in the middle of the speeds seen, with its interval and state."""
    for curve in curves:
        if curve.swing_length:
            continue
        speed = (curve.speed_low_mps * curve.speed_high_mps) ** 0.5
        at = curve.carry(speed, LEVEL)
        yield (
            f"{curve_name(curve):<3} {say.speed(speed):>8} → {say.length(at.value):>7} "
            f"({_span(at.centre, say)}; one ball {_span(at.one_shot, say)}), "
            f"{state_words(curve.state, curve.need)}, {curve.n_shots} balls"
        )


def _span(answer: Answer, say: Wording) -> str:
    if answer.low is None or answer.high is None:
        return "–"
    low, high = (say.number(say.units.of_metres(end)) for end in (answer.low, answer.high))
    return f"{low} to {high}"


def triples_line(profile: PlayerProfile, say: Wording) -> str:
    """The last triples against the window, as long / short / shot, with the odds of holding it."""
    last = profile.brackets.triples[-LAST_TRIPLES:]
    if not last:
        return "none paired yet: bring in both exports of a session"
    window = f"window {say.length(last[-1].near_m)} to {say.length(last[-1].far_m)}: "
    shown = window + " · ".join(_triple(triple, say) for triple in last)
    day = next((d for d in profile.brackets.days if d.session_id == last[-1].row.session_id), None)
    return shown if day is None else f"{shown}; {_day_held(day, say)}"


def _day_held(day: BracketDay, say: Wording) -> str:
    """How often the day's triples hold the window, with what single triples cannot carry."""
    held = day.window_held
    span = "–" if held.low is None else f"{say.share(held.low)} to {say.share(held.high)}"
    state = state_words(held.state, held.need)
    count = "1 triple" if day.n_triples == 1 else f"{day.n_triples} triples"
    return f"that day held {say.share(held.value)} ({span}), {state}, {count}"


def _triple(triple: TripleOdds, say: Wording) -> str:
    carries = (triple.long_m, triple.short_m, triple.row.carry_m)
    places = " / ".join(_place(triple, carry, say) for carry in carries)
    held = "" if triple.window_held is None else f" (held {say.share(triple.window_held)})"
    return places + held


def _place(triple: TripleOdds, carry_m: float | None, say: Wording) -> str:
    if carry_m is None or math.isnan(carry_m):
        return "–"
    where = "long" if carry_m > triple.far_m else "in" if carry_m >= triple.near_m else "short"
    return f"{say.number(say.units.of_metres(carry_m))} {where}"
