"""Players: who they are, and the whole answer about one of them."""

from typing import Annotated, Literal

from fastapi import Response
from pydantic import Field

from api.answering import plain_router
from api.deps import CallerOf, OnePlayer, ServiceOf
from api.models import Body, PlayerId
from api.paging import After, Limit, link_next
from api.player_cards import PlayerCard

router = plain_router("/players", "players", "read:profiles")


class PlayerBody(Body):
    """One player; nothing personal beyond what the job needs."""

    player_id: PlayerId
    display_name: Annotated[str, Field(description="Name to show.", examples=["Ada"])]
    handedness: Annotated[Literal["right", "left"], Field(description="Hand.", examples=["left"])]
    age_band: Annotated[
        Literal["adult", "junior"],
        Field(description="Band of age; a birth date is never kept.", examples=["adult"]),
    ]
    zone: Annotated[
        str, Field(description="IANA time zone of the home green.", examples=["Europe/Dublin"])
    ]

    @classmethod
    def of(cls, card: PlayerCard) -> "PlayerBody":
        """The body for one card."""
        return cls.model_validate(
            {name: getattr(card, name) for name in cls.model_fields}, strict=False
        )


class PlayersBody(Body):
    """A page of players, in order of their ids."""

    items: Annotated[list[PlayerBody], Field(description="The players of this page.")]


@router.get("", summary="List players")
async def list_players(
    service: ServiceOf, caller: CallerOf, response: Response, after: After = "", limit: Limit = 100
) -> PlayersBody:
    """The players this key may see, by id; `Link` leads to the next page."""
    cards = (service.players.get(name) for name in service.players.ids() if name > after)
    seen = [card for card in cards if card is not None and caller.sees(card)]
    if len(seen) > limit:
        response.headers["Link"] = link_next("/v1/players", seen[limit - 1].player_id, limit)
    return PlayersBody(items=[PlayerBody.of(card) for card in seen[:limit]])


@router.get("/{player_id}", summary="One player")
async def get_player(player: OnePlayer) -> PlayerBody:
    """Who the player is."""
    return PlayerBody.of(player)
