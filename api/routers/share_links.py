"""Share links: one report of one player, for whoever holds the link, until it ends."""

from typing import Annotated

from fastapi import APIRouter, Path, Request, Response
from pydantic import Field

from api.access import Caller
from api.answering import plain_router
from api.deps import CallerOf, ServiceOf
from api.errors import not_found
from api.idempotency import forget_resource
from api.models import WHOLE, Body, PlayerId
from api.service import Service
from api.share_links import Report, ShareLink, create_link, delete_link, get_link, list_links

links = plain_router("/share-links", "share links", "manage")
shared = APIRouter(prefix="/v1/shared", tags=["share links"])

LinkId = Annotated[
    str,
    Path(
        pattern=r"^s[0-9a-f]{12}$", description="Public id of a link.", examples=["s0123456789ab"]
    ),
]
Token = Annotated[
    str,
    Path(pattern=r"^[A-Za-z0-9_-]{43}$", description="Token of a link.", examples=["A" * 43]),
]


class NewLink(Body):
    """A link to be made."""

    player_id: PlayerId
    report: Annotated[Report, Field(description="The one report it shows.", examples=["profile"])]
    days: Annotated[
        int, Field(ge=1, le=365, description="How long it stands.", examples=[14]), WHOLE
    ] = 14


class LinkBody(Body):
    """One link, without its token."""

    link_id: Annotated[str, Field(description="Public id.", examples=["s0123456789ab"])]
    player_id: PlayerId
    report: Annotated[str, Field(description="The report it shows.", examples=["profile"])]
    made_by: Annotated[str, Field(description="Key that made it.", examples=["k0123456789ab"])]
    created_at: Annotated[str, Field(description="UTC.", examples=["2026-05-04T17:30:00+00:00"])]
    expires_at: Annotated[str, Field(description="UTC.", examples=["2026-05-18T17:30:00+00:00"])]

    @classmethod
    def of(cls, link: ShareLink) -> "LinkBody":
        """The body for one link."""
        return cls.model_validate(link, from_attributes=True)


class MadeLink(LinkBody):
    """A link just made."""

    address: Annotated[
        str,
        Field(description="The link, relative to the host: shown once.", examples=["/v1/shared/…"]),
    ]


class LinksBody(Body):
    """Every link the caller may see."""

    items: Annotated[list[LinkBody], Field(description="The links.")]


@links.get("", summary="List share links")
async def get_links(service: ServiceOf, caller: CallerOf) -> LinksBody:
    """The links to the caller's players, the ended ones too."""
    seen = [link for link in list_links(service.state) if _sees(service, caller, link.player_id)]
    return LinksBody(items=[LinkBody.of(link) for link in seen])


@links.post("", summary="Make a share link", status_code=201)
async def post_link(
    wanted: NewLink, service: ServiceOf, caller: CallerOf, request: Request, response: Response
) -> MadeLink:
    """A link that shows one report of one player without a key, until it ends."""
    if not _sees(service, caller, wanted.player_id):
        raise not_found("such player", "List the players: GET /v1/players.")
    link, token = create_link(service.state, caller, wanted.player_id, wanted.report, wanted.days)
    request.state.shown_once = True
    response.headers["Location"] = f"/v1/share-links/{link.link_id}"
    response.headers["Cache-Control"] = "no-store"
    return MadeLink(**LinkBody.of(link).model_dump(), address=f"/v1/shared/{token}")


@links.get("/{link_id}", summary="One share link")
async def get_one(link_id: LinkId, service: ServiceOf, caller: CallerOf) -> LinkBody:
    """What a link shows and until when."""
    return LinkBody.of(_governed(service, caller, link_id))


@links.delete("/{link_id}", summary="End a share link", status_code=204)
async def delete_one(link_id: LinkId, service: ServiceOf, caller: CallerOf) -> None:
    """The link stops working at once."""
    _governed(service, caller, link_id)
    delete_link(service.state, link_id)
    forget_resource(service.state, f"/v1/share-links/{link_id}")


@shared.get("/{token}", summary="The report of a share link")
async def get_shared(token: Token) -> dict[str, object]:  # noqa: ARG001 -- described, not used
    """The report the link was made for, as its own resource answers it.

    The gate leads a standing link to its report; whatever arrives here has ended or never was.
    """
    raise not_found("such link", "Ask whoever sent it for a new one.")


def _sees(service: Service, caller: Caller, player_id: str) -> bool:
    card = service.players.get(player_id)
    return card is not None and caller.sees(card)


def _governed(service: Service, caller: Caller, link_id: str) -> ShareLink:
    link = get_link(service.state, link_id)
    if not _sees(service, caller, link.player_id):
        raise not_found("such share link", "List them: GET /v1/share-links.")
    return link


router = APIRouter()
router.routes.extend([*links.routes, *shared.routes])
