"""What changed since: how an app keeps in step without asking for everything again."""

from typing import Annotated

from fastapi import Query, Request, Response
from pydantic import Field

from api.answering import plain_router
from api.changes import Change, ChangeType
from api.deps import CallerOf, ServiceOf
from api.models import Body, PlayerId
from api.paging import Limit

router = plain_router("/changes", "changes", "read:profiles")


class ChangeBody(Body):
    """One change."""

    seq: Annotated[int, Field(description="Running number.", examples=[18])]
    at: Annotated[
        str, Field(description="When it was seen, UTC.", examples=["2026-05-04T17:30:00+00:00"])
    ]
    type: Annotated[ChangeType, Field(description="What it is.", examples=["profile.changed"])]
    player_id: PlayerId
    import_id: Annotated[str | None, Field(description="The import it is about.", examples=[None])]

    @classmethod
    def of(cls, change: Change) -> "ChangeBody":
        """The body for one change."""
        return cls.model_validate(change, from_attributes=True)


class ChangesBody(Body):
    """Changes in order, and where to go on."""

    items: Annotated[list[ChangeBody], Field(description="The changes, oldest first.")]
    cursor: Annotated[int, Field(description="Ask with `since=` this next time.", examples=[18])]


@router.get("", summary="Changes since a cursor")
async def get_changes(
    *,
    service: ServiceOf,
    caller: CallerOf,
    request: Request,
    response: Response,
    since: Annotated[
        int,
        Query(
            ge=0, le=2**53, description="The cursor of the last answer; 0 at first.", examples=[0]
        ),
    ] = 0,
    limit: Limit = 100,
) -> ChangesBody:
    """Everything that changed about the players of this key, in order.

    On `player.erased` and `player.withdrawn` remove your copy of this player.
    """
    feed = service.changes
    feed.look()
    changes, cursor = feed.since(caller, since, limit)
    told = dict.fromkeys(change.player_id for change in changes)
    request.state.shown = [name for name in told if service.players.get(name) is not None]
    if cursor < feed.last() and cursor > since:
        response.headers["Link"] = f'</v1/changes?since={cursor}&limit={limit}>; rel="next"'
    return ChangesBody(items=[ChangeBody.of(change) for change in changes], cursor=cursor)
