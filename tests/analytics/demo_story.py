"""The demo's story as checks on a player's feedback: truths covered, no decoy called."""

from collections.abc import Iterator

from analytics.brackets import brackets
from analytics.discovery import Finding
from analytics.feedback import Feedback
from analytics.landings import landings
from demo_data.cast import FOOT_M, Player

MEASURE = {
    "bracket_width": "bracket_width",
    "landing_spread": "landing_spread",
    "centre": "landing_change",
    "start_direction": "start_change",
    "tempo_drift": "tempo_drift",
}
"""Decoys of the demo that feedback looks at; its scored tests are told elsewhere."""


def story_faults(player: Player, found: Feedback) -> Iterator[str]:
    """What does not come out as planted; nothing when all does."""
    yield from (f"decoy {measure} called" for measure in player.nulls if _called(found, measure))
    for name, finding, truth in _truths(player, found):
        low, high = finding.answer.low, finding.answer.high
        if low is None or high is None or not low <= truth <= high:
            yield f"{name} {truth:.3f} not in {low} to {high}"
    share = landings(found).mishit_share
    if not share.low <= player.mishit_share <= share.high:
        yield f"mishit share {player.mishit_share} not in {share.low} to {share.high}"
    yield from _told(player, found)


def _called(found: Feedback, measure: str) -> bool:
    key = MEASURE.get(measure)
    return key is not None and found.of(key).verdict == "effect"


def _truths(player: Player, found: Feedback) -> Iterator[tuple[str, Finding, float]]:
    width, spread = player.width_ft, player.landing_sd_ft
    hand = 1 if player.handedness == "right" else -1
    yield "width", found.of("bracket_width"), (width[-1] - width[0]) * FOOT_M
    yield "spread", found.of("landing_spread"), (spread[-1] - spread[0]) * FOOT_M
    yield "bias", found.of("rehearsal_bias"), player.rehearsal_bias
    yield "drift", found.of("tempo_drift"), -player.tempo_fall
    yield "push", found.of("start_side"), hand * player.start_right_deg


def _told(player: Player, found: Feedback) -> Iterator[str]:
    """What the story of each player says in words."""
    states = {
        "Tobias": {"bracket_width": "clear", "landing_spread": "leaning"},
        "Wilma": {"tempo_drift": "clear"},
        "Arne": {"start_side": "clear"},
    }
    for key, state in states.get(player.name, {}).items():
        if found.of(key).answer.state != state:
            yield f"{key} is {found.of(key).answer.state}, not {state}"
    if player.name == "Lio":
        yield from _lio(found)


def _lio(found: Feedback) -> Iterator[str]:
    """Short by 2 ft in the first two sessions, right in the later ones."""
    days = [day.session_id for day in brackets(found).days]
    shots = found.read.practice.shots
    for number in range(len(days)):
        errors = shots.clean_error_m[(shots.session == number) & ~shots.mishit]
        short = float(errors.mean())
        if (short < -0.3) != (number < 2):
            yield f"session {number + 1} lands {short:.2f} m off"
