"""Leave: where balls finish around the hole, beside what chance alone would give."""

from dataclasses import dataclass

import numpy as np
from starlette.responses import Response

from analytics.answer import Answer
from analytics.db import Connection
from analytics.finishes import Finish, finishes
from analytics.leave import LeaveSummary, ZoneShare, summarise
from analytics.leaves import player_putting
from analytics.putting import AngleDistanceModel, putt_costs
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
    found = finishes(con, player.player_id)
    dry = [one for one in found if not one.wet]
    summary = _summary(dry, player_putting(con, player.player_id).model)
    zones = (
        []
        if summary is None
        else [_zone(name, share) for name, share in zip(ZONE_NAMES, summary.shares, strict=True)]
    )
    drawn = face(view, found) if found else None
    return LeaveContent(drawn, zones, summary, len(found) - len(dry))


def _summary(dry: list[Finish], putting: AngleDistanceModel) -> LeaveSummary | None:
    if not dry:
        return None
    bearings = [0.0 if one.leave_bearing_deg is None else one.leave_bearing_deg for one in dry]
    days = {one.day for one in dry}
    lengths = np.array([one.leave_m for one in dry])
    return summarise(lengths, np.array(bearings), len(days), putt_costs(putting), putting)


def _zone(name: str, share: ZoneShare) -> Zone:
    low, high = (None, None) if share.value is None else (share.low, share.high)
    counts = share.n_shots, share.n_sessions
    answer = Answer(share.value, low, high, "share", *counts, share.state, need=share.need)
    return Zone(name, answer, share.by_chance)
