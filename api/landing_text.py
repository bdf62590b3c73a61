"""Landings in sentences: window, gate, direction, miss, mishits, lies."""

from collections.abc import Iterator
from math import isfinite

from analytics.answer import Answer
from analytics.landing import side_word
from analytics.landings import Landings, LieContact
from api.bracket_text import finding_lines
from api.wording import Wording


def landing_lines(shown: Landings, say: Wording) -> Iterator[str]:
    """Everything about where a player's balls start, land and stop."""
    if shown.latest is None:
        yield say.text("landing.none")
        return
    yield say.text("landing.heading")
    for day in shown.days:
        yield "  " + say.text(
            "landing.day",
            day=day.day or day.session_id,
            share=say.share(day.inside.value),
            n=day.inside.n_shots,
            best=say.share(day.best.value),
        )
        if not day.window_given:
            yield "    " + say.text("bracket.assumed")
    yield ""
    yield say.text("landing.window", **_interval(shown.latest.inside, say),
                   best=say.share(shown.latest.best.value))  # fmt: skip
    yield from _spread_lines(shown, say)
    yield from _gate_lines(shown, say)
    yield from _direction_lines(shown, say)
    yield from _miss_lines(shown, say)
    yield say.text(
        "landing.mishits",
        **_interval(shown.mishit_share, say),
        n=shown.mishit_share.n_shots,
        coach=shown.mishits_by_coach,
    )
    for lie in shown.lies:
        yield "  " + _lie(lie, say)
    yield ""
    for findings in (shown.outcome, shown.direction, shown.contact):
        yield from finding_lines(findings, say, shown.hand)


def _interval(share: Answer, say: Wording) -> dict[str, str]:
    return {
        "share": say.share(share.value),
        "low": say.share(share.low),
        "high": say.share(share.high),
    }


def _spread_lines(shown: Landings, say: Wording) -> Iterator[str]:
    spread = shown.landing_spread_m
    yield say.text(
        "landing.spread",
        spread=say.length(spread.value),
        low=say.length(spread.low),
        high=say.length(spread.high),
        start=say.degrees(shown.start_spread_deg.value),
    )
    if shown.half_within_m is not None:
        yield say.text(
            "landing.circles",
            half=say.length(shown.half_within_m),
            most=say.length(shown.most_within_m),
        )


def _gate_lines(shown: Landings, say: Wording) -> Iterator[str]:
    gate = shown.gate
    if gate.through.value is None:
        return
    yield say.text(
        "landing.gate",
        width=say.length(gate.width_m),
        distance=say.length(gate.distance_m),
        angle=say.degrees(gate.angle_deg),
        **_interval(gate.through, say),
        best=say.share(gate.best.value),
    )
    if not gate.given:
        yield "  " + say.text("landing.gate_assumed")


def _direction_lines(shown: Landings, say: Wording) -> Iterator[str]:
    start = shown.start_right_deg
    if start.value is None:
        return
    low, high = say.degrees(start.low), say.degrees(start.high)
    if start.low is None or start.high is None or start.low <= 0 <= start.high:
        yield say.text("landing.straight", low=low, high=high)
        return
    side, word = ("right" if start.value > 0 else "left"), side_word(start.value, shown.hand)
    yield say.text(
        "landing.direction",
        value=say.degrees(abs(start.value)),
        side=say.text(f"side.{side}"),
        low=low,
        high=high,
        word=say.text(f"side.{word}"),
    )


def _miss_lines(shown: Landings, say: Wording) -> Iterator[str]:
    miss = shown.miss
    if not miss.enough or miss.shares is None:
        yield say.text("landing.split_none", n=miss.n_shots)
        return
    parts = {name: say.share(share) for name, share in miss.shares.items()}
    yield say.text("landing.split", usual=say.length(miss.usual_m), **parts)


def _lie(lie: LieContact, say: Wording) -> str:
    strikes, room = lie.strikes, lie.room
    ratio = strikes.ball_to_club.value
    attack = strikes.attack_to_turf_deg.value
    words = "–"
    if room is not None:
        words = say.length(room.whole_m) if room.playable else say.text("landing.turf_first")
    return say.text(
        "landing.lie",
        lie=say.text(f"landing.lie_{strikes.lie}"),
        n=strikes.n_shots,
        ratio=say.number(ratio, 2) if isfinite(ratio) else "–",
        mishits=say.share(lie.mishit_share.value),
        attack=say.degrees(attack) if isfinite(attack) else "–",
        room=words,
    )
