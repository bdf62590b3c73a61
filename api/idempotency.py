"""Writes that may be sent again: `Idempotency-Key` gets the first reply once more.

The same key with another body, path or query is 409; with a reply still being made, 409 too. A
reply that held a secret is not kept: its repeat is 409, since the secret is shown once. Replies
are kept a day; deleting a resource forgets the replies that made it.
"""

import hashlib
import json
from collections.abc import Callable, Coroutine
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from fastapi import Request
from fastapi.routing import APIRoute
from starlette.responses import Response

from api.conditional import conditional
from api.deps import caller_of
from api.errors import Problem
from api.keys import as_text
from api.service import service_of
from api.service_state import Row, ServiceState, now

HEADER = "idempotency-key"
KEPT_FOR = timedelta(days=1)
KEPT_HEADERS = ("content-type", "location", "link", "etag", "preference-applied")

Handler = Callable[[Request], Coroutine[Any, Any, Response]]  # the framework's own type


@dataclass(frozen=True)
class Claim:
    """A request that may be repeated: who, under which key, asking exactly what."""

    key_id: str
    idempotency_key: str
    fingerprint: str

    @classmethod
    def of(cls, request: Request, body_sha256: str) -> "Claim | None":
        """The claim of a request; None when it carries no key. Raises Problem 422 for a bad key."""
        key = request.headers.get(HEADER)
        if key is None:
            return None
        if not 1 <= len(key) <= 200 or not (key.isascii() and key.isprintable()):
            mend = "Use up to 200 printable characters, such as a UUID."
            raise Problem(422, "bad_idempotency_key", "The Idempotency-Key cannot be used.", mend)
        asked = [request.method, request.url.path, request.url.query, body_sha256]
        fingerprint = hashlib.sha256(json.dumps(asked).encode()).hexdigest()
        return cls(caller_of(request).key_id, key, fingerprint)


def begin(state: ServiceState, claim: Claim) -> Response | None:
    """The kept reply of a repeated request; None when this is the first, which is now marked.

    Raises:
        Problem: 409 when the key was used for another request, or its reply is not there.
    """
    with state.together():
        state.run("DELETE FROM replies WHERE at < :old", old=as_text(datetime.now(UTC) - KEPT_FOR))
        found = state.row(
            "SELECT * FROM replies WHERE key_id = :k AND idempotency_key = :i",
            k=claim.key_id,
            i=claim.idempotency_key,
        )
        if found is None:
            state.run(
                "INSERT INTO replies(key_id, idempotency_key, fingerprint, at)"
                " VALUES (:k, :i, :f, :at)",
                k=claim.key_id,
                i=claim.idempotency_key,
                f=claim.fingerprint,
                at=now(),
            )
            return None
    return _kept(found, claim)


def _kept(found: Row, claim: Claim) -> Response:
    if found["fingerprint"] != claim.fingerprint:
        mend = "Use a new Idempotency-Key for a new request."
        raise Problem(409, "key_used_otherwise", "This key came with another request.", mend)
    if found["status"] is None or found["body"] is None:
        raise Problem(
            409,
            "reply_not_kept",
            "The first request is still being answered, or its answer held a secret.",
            "Look at the resource; use a new Idempotency-Key to do it once more.",
        )
    headers = json.loads(found["headers"]) | {"Idempotent-Replayed": "true"}
    return Response(found["body"], found["status"], headers)


def settle(
    state: ServiceState, claim: Claim, response: Response, player_id: str, *, secret: bool = False
) -> None:
    """Keep the reply of a first request; one that failed on our side is forgotten."""
    if response.status_code >= 500:
        forget(state, claim)
        return
    kept = {name: value for name, value in response.headers.items() if name in KEPT_HEADERS}
    state.run(
        "UPDATE replies SET status = :s, headers = :h, body = :b, resource = :r, player_id = :p"
        " WHERE key_id = :k AND idempotency_key = :i",
        s=response.status_code,
        h=json.dumps(kept),
        b=None if secret else bytes(response.body),
        r=kept.get("location"),
        p=player_id,
        k=claim.key_id,
        i=claim.idempotency_key,
    )


def forget(state: ServiceState, claim: Claim) -> None:
    """Let the key be used again: its request came to nothing."""
    state.run(
        "DELETE FROM replies WHERE key_id = :k AND idempotency_key = :i",
        k=claim.key_id,
        i=claim.idempotency_key,
    )


def forget_resource(state: ServiceState, location: str) -> None:
    """Forget the replies that made a resource which is now deleted."""
    state.run("DELETE FROM replies WHERE resource = :r", r=location)


class WriteRoute(APIRoute):
    """A route whose writes may be repeated under an Idempotency-Key, and whose reads carry a tag.

    A route that reads its body as a stream says `openapi_extra={"x-repeats": "own"}` and sees to
    repeats itself.
    """

    def get_route_handler(self) -> Handler:
        """The framework's handler, with the kept replies around it."""
        inner = super().get_route_handler()
        own = (self.openapi_extra or {}).get("x-repeats") == "own"
        if own:
            return inner

        async def read(request: Request) -> Response:
            return conditional(request, await inner(request))

        if "GET" in (self.methods or ()):
            return read

        takes_json = self.body_field is not None

        async def handle(request: Request) -> Response:
            body = await request.body()
            if takes_json and body:
                _check_json(request)
            claim = Claim.of(request, hashlib.sha256(body).hexdigest())
            if claim is None:
                return await inner(request)
            return await once(request, claim, inner)

        return handle


def _check_json(request: Request) -> None:
    """Raises Problem 415 for a body that does not say it is JSON."""
    media_type = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if media_type != "application/json":
        raise Problem(
            415,
            "unsupported_media_type",
            f"{media_type or 'A body without Content-Type'} will not do here.",
            "Send JSON and the header Content-Type: application/json.",
        )


async def once(request: Request, claim: Claim, inner: Handler) -> Response:
    """The reply of `inner`, or the one it gave before."""
    state = service_of(request).state
    kept = begin(state, claim)
    if kept is not None:
        return kept
    try:
        response = await inner(request)
    except BaseException:
        forget(state, claim)
        raise
    secret = bool(getattr(request.state, "shown_once", False))
    player_id = str(request.path_params.get("player_id", ""))
    settle(state, claim, response, player_id, secret=secret)
    return response
