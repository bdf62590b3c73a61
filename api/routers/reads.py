"""The log of reads: which app read what about whom."""

from typing import Annotated

from fastapi import Response
from pydantic import Field

from api.answering import plain_router
from api.deps import CallerOf, ServiceOf
from api.models import Body, PlayerId
from api.paging import AfterNumber, Limit, link_next
from api.read_log import Read

router = plain_router("/reads", "reads", "manage")


class ReadBody(Body):
    """One read."""

    seq: Annotated[int, Field(description="Running number; the cursor.", examples=[17])]
    at: Annotated[str, Field(description="UTC.", examples=["2026-05-04T17:30:00+00:00"])]
    key_id: Annotated[
        str, Field(description="Key or share link that read.", examples=["k0123456789ab"])
    ]
    player_id: PlayerId
    route: Annotated[str, Field(description="What was read.", examples=["profile"])]
    status: Annotated[int, Field(description="HTTP status.", examples=[200])]


class ReadsBody(Body):
    """A page of the log, oldest first."""

    items: Annotated[list[ReadBody], Field(description="The reads of this page.")]


@router.get("", summary="Log of reads")
async def get_reads(
    service: ServiceOf,
    caller: CallerOf,
    response: Response,
    after: AfterNumber = 0,
    limit: Limit = 100,
) -> ReadsBody:
    """Every read of the caller's players by an app or through a share link."""
    found = service.read_log.after(after, limit)
    if len(found) == limit:
        response.headers["Link"] = link_next("/v1/reads", found[-1].seq, limit)
    return ReadsBody(items=[_body(r) for r in found if _seen(service, caller, r)])


def _body(read: Read) -> ReadBody:
    return ReadBody.model_validate(read, from_attributes=True)


def _seen(service: ServiceOf, caller: CallerOf, read: Read) -> bool:
    card = service.players.get(read.player_id)
    return card is not None and caller.sees(card)
