"""Players: who they are; added, changed and erased by whoever may manage."""

from typing import Annotated, Literal
from zoneinfo import available_timezones

from fastapi import Depends, Header, Request, Response
from pydantic import Field

from api.answering import plain_router
from api.cache import strong_etag
from api.conditional import require_match
from api.deps import CallerOf, Needs, OnePlayer, ServiceOf
from api.erase_player import erase_player
from api.errors import Problem
from api.idempotency import forget_resource
from api.models import Body, PlayerId
from api.paging import After, Limit, link_next
from api.player_cards import PlayerCard
from ingest.players import Player, load_player, new_player_id, save_player

router = plain_router("/players", "players", "read:profiles")

Name = Annotated[
    str,
    Field(
        min_length=1,
        max_length=60,
        pattern=r"^[^\x00-\x1f\x7f]*$",
        description="Name to show; a first name is enough.",
        examples=["Ada"],
    ),
]
Hand = Annotated[Literal["right", "left"], Field(description="Hand.", examples=["left"])]
AgeBand = Annotated[
    Literal["adult", "junior"],
    Field(description="Band of age; a birth date is never kept.", examples=["adult"]),
]
Consent = Annotated[
    bool,
    Field(
        strict=True,
        description="For a junior: a guardian agreed that results may leave.",
        examples=[False],
    ),
]
Zone = Annotated[
    str,
    Field(
        description="IANA time zone.",
        examples=["Europe/Dublin"],
        json_schema_extra={"enum": [*sorted(available_timezones())]},
    ),
]


IfMatch = Annotated[
    str | None,
    Header(
        description="Only if the player is still what this `ETag` was given for; else 412.",
        examples=["*"],
    ),
]


class PlayerBody(Body):
    """One player; nothing personal beyond what the job needs."""

    player_id: PlayerId
    display_name: Annotated[str, Field(description="Name to show.", examples=["Ada"])]
    handedness: Hand
    age_band: AgeBand
    zone: Annotated[str, Field(description="IANA time zone.", examples=["Europe/Dublin"])]

    @classmethod
    def of(cls, card: PlayerCard) -> "PlayerBody":
        """The body for one card."""
        return cls.model_validate({name: getattr(card, name) for name in cls.model_fields})


class PlayersBody(Body):
    """A page of players, in order of their ids."""

    items: Annotated[list[PlayerBody], Field(description="The players of this page.")]


class NewPlayer(Body):
    """A player to be added."""

    display_name: Name
    handedness: Hand = "right"
    age_band: AgeBand = "adult"
    guardian_consent: Consent = False
    zone: Zone = "UTC"


class ChangedPlayer(Body):
    """What shall be different about a player; what is left out stays."""

    display_name: Name | None = None
    handedness: Hand | None = None
    age_band: AgeBand | None = None
    guardian_consent: Consent | None = None
    zone: Zone | None = None


@router.get("", summary="List players")
async def list_players(
    *,
    request: Request,
    service: ServiceOf,
    caller: CallerOf,
    response: Response,
    after: After = "",
    limit: Limit = 100,
) -> PlayersBody:
    """The players this key may see, by id; `Link` leads to the next page."""
    cards = (service.players.get(name) for name in service.players.ids() if name > after)
    seen = [card for card in cards if card is not None and caller.sees(card)]
    if len(seen) > limit:
        response.headers["Link"] = link_next("/v1/players", seen[limit - 1].player_id, limit)
    request.state.shown = [card.player_id for card in seen[:limit]]
    return PlayersBody(items=[PlayerBody.of(card) for card in seen[:limit]])


@router.post("", summary="Add a player", status_code=201, dependencies=[Depends(Needs("manage"))])
async def post_player(
    wanted: NewPlayer, service: ServiceOf, caller: CallerOf, response: Response
) -> PlayerBody:
    """A new player of the key's coach, with a fresh opaque id."""
    if caller.players is not None:
        mend = "Ask the coach to add the player, or for a key without names."
        raise Problem(403, "limited_to_names", "This key is limited to named players.", mend)
    if wanted.age_band == "junior" and not (wanted.guardian_consent or caller.owner):
        mend = "Ask the guardian first; the coach may add the junior without consent at home."
        raise Problem(409, "consent_missing", "A junior needs a guardian's consent here.", mend)
    player = Player(new_player_id(), **wanted.model_dump(), coach=caller.coach or None)
    save_player(service.settings.store, player)
    response.headers["Location"] = f"/v1/players/{player.player_id}"
    return _body(service, player.player_id)


@router.get("/{player_id}", summary="One player")
async def get_player(player: OnePlayer) -> PlayerBody:
    """Who the player is."""
    return PlayerBody.of(player)


@router.patch("/{player_id}", summary="Change a player", dependencies=[Depends(Needs("manage"))])
async def patch_player(
    player: OnePlayer,
    wanted: ChangedPlayer,
    service: ServiceOf,
    response: Response,
    if_match: IfMatch = None,
) -> PlayerBody:
    """Change what is known of a player; withdrawing a junior's consent hides them at once.

    With the `ETag` of what you read in `If-Match`, nobody's change in between is overwritten.
    """
    require_match(if_match, _bytes(PlayerBody.of(player)))
    known = load_player(service.settings.store, player.player_id)
    changed = {name: value for name, value in wanted.model_dump().items() if value is not None}
    save_player(service.settings.store, Player(**(known.__dict__ | changed)))
    body = _body(service, player.player_id)
    response.headers["ETag"] = strong_etag(_bytes(body))
    return body


@router.delete(
    "/{player_id}",
    summary="Erase a player",
    status_code=204,
    dependencies=[Depends(Needs("manage"))],
)
async def delete_player(player: OnePlayer, service: ServiceOf, if_match: IfMatch = None) -> None:
    """Remove everything of a player, for good; the feed tells other apps to do so too."""
    require_match(if_match, _bytes(PlayerBody.of(player)))
    player_id = player.player_id
    service.changes.look()
    service.read_log.forget_player(player_id)
    await service.runner.run(erase_player, service.settings.store, player_id, service.state)
    service.cache.forget_player(player_id)
    service.callers.reload()
    forget_resource(service.state, f"/v1/players/{player_id}")


def _bytes(body: PlayerBody) -> bytes:
    """The body as the framework writes it."""
    return body.model_dump_json().encode()


def _body(service: ServiceOf, player_id: str) -> PlayerBody:
    card = service.players.get(player_id)
    if card is None:
        raise Problem(409, "erased_meanwhile", "The player was erased meanwhile.", "List players.")
    return PlayerBody.of(card)
