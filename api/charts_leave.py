"""The clock face: where balls finished around the hole."""

from collections.abc import Sequence
from contextlib import suppress

from analytics.db import Connection
from analytics.errors import NothingYet
from analytics.leave import NEAR_M
from analytics.leaves import leaves, placed
from analytics.mark_links import LinkedMark
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.clock_face import Leave, Words, clock_face_svg
from api.plots.svg import Figure

MOST_SHOWN = 400
TABLE_ROWS = 60


def figures(con: Connection, player: PlayerCard, view: View) -> list[Figure]:
    """The one chart of the page; none without a mark."""
    found: list[LinkedMark] = []
    with suppress(NothingYet):
        found = placed(leaves(con, player.player_id).marks)
    return [face(view, found)] if found else []


def face(view: View, found: Sequence[LinkedMark]) -> Figure:
    """The newest finishes on the face, wet days as crosses."""
    say = view.texts.say
    shown = found[-MOST_SHOWN:]
    leaves = [
        Leave(view.to_length(one.leave_m or 0.0), one.leave_bearing_deg or 0.0, one.wet)
        for one in shown
    ]
    summary = say("leave.summary", shown=len(shown), all=len(found), wet=sum(o.wet for o in shown))
    near = view.quantity(NEAR_M, "m")
    words = Words(
        say("leave.downhill"),
        say("leave.low_side"),
        say("leave.ring", near=near),
        view.length,
        summary,
    )
    svg = clock_face_svg(leaves, view.to_length(NEAR_M), words)
    header = tuple(say(f"column.{name}") for name in ("day", "ball", "leave", "bearing", "wet"))
    rows = tuple(_row(view, one) for one in reversed(shown[-TABLE_ROWS:]))
    return Figure("leave-face", say("leave.face"), summary, svg, header, rows)


def _row(view: View, one: LinkedMark) -> tuple[str, ...]:
    bearing = view.quantity(one.leave_bearing_deg, "deg", 0)
    wet = view.texts.say("answer.yes") if one.wet else ""
    ball = "" if one.ball_number is None else str(one.ball_number)
    day = "" if one.day is None else view.day(one.day)
    return day, ball, view.quantity(one.leave_m, "m"), bearing, wet
