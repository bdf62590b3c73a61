"""Leave: where balls finish around the hole, beside what chance alone would give."""

from dataclasses import dataclass

from starlette.responses import Response

from analytics.answer import Answer
from analytics.db import Connection
from analytics.errors import NothingYet
from analytics.leave import LeaveSummary, ZoneShare
from analytics.leaves import leaves, placed
from api.charts_leave import face
from api.page_frame import ReaderOf, page_router
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.svg import Figure

router = page_router()
ZONE_NAMES = ("sector", "below", "near", "zone")


@dataclass(frozen=True)
class Zone:
    """One zone's share as an answer, with the share luck alone gives."""

    name: str
    answer: Answer
    by_chance: float | None


@dataclass(frozen=True)
class LeaveContent:
    """What the page shows; wet days are counted apart."""

    figure: Figure | None
    zones: list[Zone]
    summary: LeaveSummary | None
    n_wet: int


@router.get("/players/{player_id}/leave")
async def leave(reader: ReaderOf, player_id: str) -> Response:
    """The face and the shares of dry days."""
    player = reader.card(player_id)
    content = await reader.ask(player_id)(leave_content, player, reader.view)
    return reader.page("leave.html", "leave", player, content=content)


def leave_content(con: Connection, player: PlayerCard, view: View) -> LeaveContent:
    """Charts and shares of one player."""
    try:
        told = leaves(con, player.player_id)
    except NothingYet:
        return LeaveContent(None, [], None, 0)
    there = placed(told.marks)
    shares = () if told.dry is None else told.dry.shares
    zones = [_zone(name, share) for name, share in zip(ZONE_NAMES, shares, strict=False)]
    n_wet = sum(one.wet for one in there)
    return LeaveContent(face(view, there) if there else None, zones, told.dry, n_wet)


def _zone(name: str, share: ZoneShare) -> Zone:
    low, high = (None, None) if share.value is None else (share.low, share.high)
    counts = share.n_shots, share.n_sessions
    answer = Answer(share.value, low, high, "share", *counts, share.state, need=share.need)
    return Zone(name, answer, share.by_chance)
