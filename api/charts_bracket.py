"""Charts of bracketing: the last triple around the window, and the bracket's width by day."""

from collections.abc import Sequence
from math import exp

import numpy as np

from analytics.brackets import BracketDay, Brackets, TripleOdds, brackets
from analytics.db import Connection
from analytics.feedback import Feedback, feedback
from api.charts_days import day_figure
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.strip import Tick, triple_svg
from api.plots.svg import Figure

LAST_SHOWN = 3
LEVEL_90 = 1.645


def figures(con: Connection, player: PlayerCard, view: View) -> list[Figure]:
    """Every chart of the page."""
    found = feedback(con, player.player_id)
    return charts_of(view, found, brackets(found))


def charts_of(view: View, found: Feedback, told: Brackets) -> list[Figure]:
    """The last triples, then width and held share by day."""
    drawn = last_triples(view, found, told, LAST_SHOWN)
    if told.days:
        drawn += [width_by_day(view, told.days), held_by_day(view, told.days)]
    return drawn


def last_triples(view: View, found: Feedback, told: Brackets, count: int) -> list[Figure]:
    """The last triples, the newest first."""
    columns = found.read.practice.triples
    doubt = LEVEL_90 * np.hypot(columns.own_sd_ln, columns.shared_sd_ln)
    pairs = list(zip(told.triples, doubt.tolist(), strict=True))[-count:]
    return [
        triple_figure(view, one, doubt_ln, number)
        for number, (one, doubt_ln) in enumerate(reversed(pairs), start=1)
    ]


def triple_figure(view: View, one: TripleOdds, doubt_ln: float, number: int = 1) -> Figure:
    """One triple as three ticks around the window; `number` counts back from the last.

    `doubt_ln` is half of the 90 % interval of a rehearsal's ln carry.
    """
    say = view.texts.say
    window = view.to_length(one.near_m), view.to_length(one.far_m)
    carry = view.to_length(one.row.carry_m)
    ticks = [
        *_rehearsal(view, say("bracket.long"), one.long_m, doubt_ln),
        *_rehearsal(view, say("bracket.short"), one.short_m, doubt_ln),
        Tick(say("bracket.shot"), carry, carry, carry, kind="shot"),
    ]
    summary = say(
        "bracket.triple_summary",
        ball=one.row.ball,
        held=view.quantity(one.window_held, "share"),
        between=view.quantity(one.shot_between, "share"),
        near=view.number(window[0]),
        far=view.quantity(one.far_m, "m"),
    )
    rows = [
        (say("bracket.long"), view.quantity(one.long_m, "m"), _odds(view, one.long_past)),
        (say("bracket.short"), view.quantity(one.short_m, "m"), _odds(view, one.short_of)),
        (say("bracket.shot"), view.quantity(one.row.carry_m, "m"), _odds(view, one.shot_between)),
    ]
    header = tuple(say(f"column.{name}") for name in ("name", "carry", "as_meant"))
    svg = triple_svg(ticks, window, say("card.axis_carry", unit=view.length), summary)
    title = say("bracket.triple", ball=one.row.ball)
    return Figure(f"bracket-triple-{number}", title, summary, svg, header, tuple(rows))


def _odds(view: View, share: float | None) -> str:
    return view.quantity(share, "share")


def _rehearsal(view: View, name: str, carry_m: float | None, doubt_ln: float) -> list[Tick]:
    """The tick of a rehearsal with its predicted carry ± its own doubt; none where missing."""
    if carry_m is None:
        return []
    low, high = (view.to_length(carry_m * exp(sign * doubt_ln)) for sign in (-1, 1))
    return [Tick(name, view.to_length(carry_m), low, high)]


def width_by_day(view: View, days: Sequence[BracketDay]) -> Figure:
    """How wide the bracket was, day by day."""
    values = [(one.day, one.width_m) for one in days]
    return day_figure(view, "bracket-width", "bracket.width_by_day", values)


def held_by_day(view: View, days: Sequence[BracketDay]) -> Figure:
    """How often the bracket held the window, day by day."""
    values = [(one.day, one.window_held) for one in days]
    return day_figure(view, "bracket-held", "bracket.held_by_day", values, "share")
