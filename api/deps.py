"""What a route may ask for, as annotated aliases.

All of them are coroutines that wait for nothing: the framework would run a plain function in a
thread of its own, which costs more than the function.
"""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Annotated, Concatenate, ParamSpec, TypeVar

from fastapi import Depends, Query, Request
from fastapi import Path as PathParameter

from analytics.db import Connection, open_store
from analytics.errors import RowsMoved
from api.access import Caller
from api.errors import Problem, not_found
from api.models import Instant
from api.player_cards import PlayerCard
from api.service import Service, service_of

P = ParamSpec("P")
T = TypeVar("T")


def caller_of(request: Request) -> Caller:
    """Who is asking; the gate has found out. Raises Problem 401 when nobody known is."""
    caller: Caller | None = request.scope.get("state", {}).get("caller")
    if caller is None:
        raise unauthorised()
    return caller


def unauthorised() -> Problem:
    """The answer to a missing, unknown, expired or revoked key."""
    return Problem(
        401,
        "no_valid_key",
        "This needs a key that is known, not expired and not revoked.",
        "Send `Authorization: Bearer <key>`; a key is made by `carrybook keys create`.",
        {"WWW-Authenticate": 'Bearer realm="carrybook"'},
    )


class Needs:
    """A dependency: the caller must hold `scope`."""

    def __init__(self, scope: str) -> None:
        self.scope = scope

    async def __call__(self, request: Request) -> None:
        """Raises Problem 403 when the caller does not hold it."""
        caller = caller_of(request)
        request.state.needed = self.scope
        if not caller.may(self.scope):
            raise Problem(
                403,
                "scope_missing",
                f"This key does not hold the scope {self.scope}.",
                "Ask the coach for a key with this scope.",
            )


class Ask:
    """Runs a question in a thread, on a connection of its own: `await ask(function, *args)`."""

    def __init__(self, service: Service, player_id: str | None, as_of: datetime | None) -> None:
        self._service = service
        self._player_id = player_id
        self._as_of = as_of

    async def __call__(
        self,
        question: Callable[Concatenate[Connection, P], T],
        *args: P.args,
        **kwargs: P.kwargs,
    ) -> T:
        """The result of `question(connection, *args, **kwargs)`."""

        def work() -> T:
            connection = open_store(self._service.settings.store, self._player_id, self._as_of)
            try:
                return question(connection, *args, **kwargs)
            finally:
                connection.close()

        try:
            return await self._service.runner.run(work)
        except RowsMoved:  # an import undone, or a player erased: once more on what stands now
            return await self._service.runner.run(work)


async def one_player(
    request: Request,
    player_id: Annotated[
        str,
        PathParameter(
            description="Opaque identity of a player.",
            pattern=r"^[a-z][a-z0-9]{3,31}$",
            examples=["q3fk82"],
        ),
    ],
) -> PlayerCard:
    """The player of the path, if they exist for the caller. Raises Problem 404."""
    card = service_of(request).players.get(player_id)
    if card is None or not caller_of(request).sees(card):
        raise not_found("such player", "List the players this key may see: GET /v1/players.")
    return card


async def asked_as_of(
    as_of: Annotated[
        Instant | None,
        Query(
            description="Answer from the store as it stood at this instant (RFC 3339, with an "
            "offset): from what had been imported and corrected by then, whenever it was played. "
            "Left out: as it stands.",
            examples=["2026-05-04T17:30:00Z"],
        ),
    ] = None,
) -> datetime | None:
    """The instant asked for, UTC."""
    return as_of


AskedAsOf = Annotated[datetime | None, Depends(asked_as_of)]


async def as_of(request: Request, asked: AskedAsOf) -> datetime:
    """The instant an answer is about: asked for, or when the player's data last changed."""
    stamp = service_of(request).players.stamp(request.path_params.get("player_id", ""))
    if stamp is None:
        raise not_found("such player")
    return asked or stamp.instant


async def asker(request: Request, asked: AskedAsOf) -> Ask:
    """Asks about the player of the path, or about all, as the store stood at `as_of`."""
    return Ask(service_of(request), request.path_params.get("player_id"), asked)


async def store(request: Request) -> Path:
    """Folder of the store."""
    return service_of(request).settings.store


async def _caller(request: Request) -> Caller:
    return caller_of(request)


async def _service(request: Request) -> Service:
    return service_of(request)


Asker = Annotated[Ask, Depends(asker)]
CallerOf = Annotated[Caller, Depends(_caller)]
OnePlayer = Annotated[PlayerCard, Depends(one_player)]
AsOf = Annotated[datetime, Depends(as_of)]
ServiceOf = Annotated[Service, Depends(_service)]
Store = Annotated[Path, Depends(store)]
