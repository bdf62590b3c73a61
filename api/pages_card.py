"""The carry card: what each swing carries, and which speed a carry needs."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from analytics.answer import Answer
from analytics.carry_curve import carry_curve, carry_curves
from analytics.curve_ground import curve_grounds
from analytics.db import Connection
from analytics.errors import AnalyticsError
from analytics.power_curve import CarryAt
from api.charts_card import figures
from api.ground_words import ground_words
from api.page_frame import ReaderOf, page_router
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.svg import Figure
from api.said_number import TYPED

router = page_router()


@dataclass(frozen=True)
class Needed:
    """The speed a carry needs with one club, or why it cannot be said."""

    club: str
    carry_m: float
    speed: Answer | None
    at: CarryAt | None = None
    refusal: str = ""


@dataclass(frozen=True)
class CardContent:
    """What the page shows; grounds: each club and what its curve leans on."""

    figures: list[Figure]
    clubs: list[str]
    grounds: list[tuple[str, str]]
    needed: Needed | None


@router.get("/players/{player_id}/card")
async def card(
    reader: ReaderOf,
    player_id: str,
    club: Annotated[str, Query(max_length=4)] = "",
    carry: Annotated[float | None, TYPED, Query(gt=0, lt=400)] = None,
) -> Response:
    """The card; with `club` and `carry` (in the reader's unit), the speed that needs too."""
    player = reader.card(player_id)
    carry_m = None if carry is None else reader.view.from_length(carry)
    content = await reader.ask(player_id)(card_content, player, reader.view, club, carry_m)
    return reader.page("card.html", "card", player, content=content, club=club, carry=carry)


def card_content(
    con: Connection, player: PlayerCard, view: View, club: str, carry_m: float | None
) -> CardContent:
    """Charts, clubs and the asked speed of one player."""
    shown = figures(con, player, view)
    curves = carry_curves(con, player.player_id)
    clubs = [curve.club for curve in curves]
    grounds = [
        (ground.club, ground_words(view, ground))
        for ground in curve_grounds(con, player.player_id, curves)
    ]
    needed = None
    if club and carry_m is not None:
        needed = _needed(con, player.player_id, club, carry_m)
    return CardContent(shown, clubs, grounds, needed)


def _needed(con: Connection, player_id: str, club: str, carry_m: float) -> Needed:
    try:
        curve = carry_curve(con, player_id, club)
        speed = curve.speed_for(carry_m)
        assert speed.value is not None
        return Needed(club, carry_m, speed, curve.carry(speed.value))
    except AnalyticsError as error:
        return Needed(club, carry_m, None, refusal=error.reason)
