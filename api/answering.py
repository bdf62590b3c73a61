"""Routers whose answers are about one player: scope, visibility and caching in one line.

    router = player_router("brackets")          # under /v1/players/{player_id}

Every GET of such a router needs the scope (read:profiles unless said otherwise), answers 404 for a
player who does not exist for the caller, takes `fields=`, and is served from memory with a strong
ETag for as long as nothing of the player changed.
"""

import json
from collections.abc import Callable, Coroutine
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request
from fastapi.routing import APIRoute
from starlette.responses import Response

from api.cache import Entry
from api.deps import Needs, caller_of, one_player
from api.errors import Problem
from api.idempotency import WriteRoute
from api.known_query import only_known, parameters_of, unknown
from api.service import service_of

Handler = Callable[[Request], Coroutine[Any, Any, Response]]  # the framework's own type


class CachedRoute(APIRoute):
    """A route whose GET answers are kept as bytes until the player changes."""

    def get_route_handler(self) -> Handler:
        """The framework's handler with the cache around it."""
        inner = super().get_route_handler()
        if self.methods != {"GET"}:
            return inner

        async def handle(request: Request) -> Response:
            return await _cached(request, inner, self.path_format)

        return handle


async def _cached(request: Request, inner: Handler, route: str) -> Response:
    service = service_of(request)
    key = cache_key(request.scope["path"], request.scope["query_string"])
    player_id = str(request.path_params.get("player_id", ""))
    async with service.cache.flight(key):
        stamp = service.players.stamp(player_id)
        found = service.cache.get(key)
        if found is not None and found.stamp == stamp and _may_read(request, found):
            return _answer(request, found)
        response = await inner(request)
        if response.status_code != 200 or stamp is None:
            return response
        media_type = response.headers["content-type"].encode("latin-1")
        fields = request.query_params.get("fields")
        if fields is not None and media_type != b"application/json":
            raise unknown(
                "fields",
                [name for name in parameters_of(request.scope["route"]) if name != "fields"],
            )
        body = only_fields(bytes(response.body), fields)
        entry = Entry(body, media_type, route, request.state.needed, player_id, stamp)
        if stamp.settled and service.players.stamp(player_id) == stamp:  # nothing moved meanwhile
            service.cache.put(key, entry)
        return _answer(request, entry)


def _may_read(request: Request, entry: Entry) -> bool:
    caller = caller_of(request)
    card = service_of(request).players.get(entry.player_id)
    return caller.may(entry.needed) and card is not None and caller.sees(card)


def _answer(request: Request, entry: Entry) -> Response:
    asked = (request.headers.get(name, "") for name in ("if-none-match", "accept-encoding"))
    status, headers, body = entry.answer(*(text.encode("latin-1") for text in asked))
    response = Response(body, status)
    response.raw_headers = list(headers)
    return response


def cache_key(path: str, query: bytes) -> str:
    """What tells two answers apart, beside the state of the player."""
    return f"{path}?{query.decode('latin-1')}"


def only_fields(body: bytes, fields: str | None) -> bytes:
    """The JSON object `body` with the named members only. Raises Problem 422 for an unknown one."""
    if fields is None:
        return body
    document = json.loads(body)
    unknown = [name for name in fields.split(",") if name not in document]
    if unknown:
        mend = f"Choose from: {', '.join(document)}."
        raise Problem(422, "unknown_field", f"No field {', '.join(unknown)} here.", mend)
    chosen = {name: document[name] for name in fields.split(",")}
    return json.dumps(chosen, separators=(",", ":"), ensure_ascii=False).encode()


async def _fields(
    fields: Annotated[
        str | None,
        Query(
            description="Only these members of the answer, comma-separated.",
            max_length=400,
            include_in_schema=False,  # a part of an answer does not fit the answer's schema
        ),
    ] = None,
) -> str | None:
    return fields


def player_router(tag: str, scope: str = "read:profiles") -> APIRouter:
    """A router under `/v1/players/{player_id}`: scope, visibility, `fields=`, caching."""
    return APIRouter(
        prefix="/v1/players/{player_id}",
        tags=[tag],
        route_class=CachedRoute,
        dependencies=[
            *(Depends(need) for need in (Needs(scope), one_player, only_known)),
            Depends(_fields),
        ],
    )


def plain_router(prefix: str, tag: str, scope: str | None) -> APIRouter:
    """A router under `/v1` without caching, its writes repeatable; every route needs `scope`."""
    needs = [] if scope is None else [Depends(Needs(scope))]
    return APIRouter(
        prefix=f"/v1{prefix}",
        tags=[tag],
        route_class=WriteRoute,
        dependencies=[*needs, Depends(only_known)],
    )
