"""One request and its answer, as the gate sees them."""

import asyncio
import time
from dataclasses import dataclass, field

from starlette.exceptions import HTTPException
from starlette.types import Message, Receive, Scope, Send

from api.access import Caller
from api.cache import Headers

SLOWEST_BYTES_S = 500
"""A sender who is slower than this over a whole body is given up."""
SAFE_HEADERS: Headers = [
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"same-origin"),
]


@dataclass
class Exchange:
    """One request and what is known of its answer so far.

    Attributes:
        extra: headers the gate adds to the answer.
        patience_s: how long a reader may leave a streamed answer untouched.
    """

    scope: Scope
    send: Send
    headers: dict[bytes, bytes]
    request_id: bytes
    patience_s: float
    began: float = field(default_factory=time.perf_counter)
    caller: Caller | None = None
    status: int = 0
    sent_bytes: int = 0
    route: str = ""
    player_id: str = ""
    head: bool = False
    extra: Headers = field(default_factory=list)

    async def start(self, message: Message) -> None:
        """Send the head of the answer with the gate's own headers."""
        self.status = message["status"]
        given = message["headers"]
        own = [(b"x-request-id", self.request_id), *SAFE_HEADERS, *self.extra]
        message["headers"] = [*given, *own]
        await self.send(message)

    async def pass_on(self, message: Message) -> None:
        """What the routes send, on its way out."""
        if message["type"] == "http.response.start":
            message["headers"] = _settled(message.get("headers", []))
            await self.start(message)
            return
        if message["type"] == "http.response.body":
            self.sent_bytes += len(message.get("body", b""))
            if self.head:
                message["body"] = b""
        async with asyncio.timeout(self.patience_s):
            await self.send(message)

    async def answer(self, status: int, headers: Headers, body: bytes) -> None:
        """A whole answer at once."""
        await self.start({"type": "http.response.start", "status": status, "headers": headers})
        self.sent_bytes += len(body)
        await self.send({"type": "http.response.body", "body": b"" if self.head else body})

    def route_template(self) -> str:
        """The path as the description writes it, without anybody's id; empty when there is none."""
        return self.route or getattr(self.scope.get("route"), "path_format", "")

    def players(self) -> list[str]:
        """The players the answer told something of: by the path, or by what the route noted."""
        named = self.player_id or str(self.scope.get("path_params", {}).get("player_id", ""))
        shown: list[str] = self.scope["state"].get("shown", [])
        return [named] if named else shown


def _settled(headers: Headers) -> Headers:
    """The headers of a route with each `Vary` said once; what says nothing of it is not kept."""
    found: Headers = []
    for name, value in headers:
        if name == b"vary":
            once = dict.fromkeys(part.strip() for part in value.split(b","))
            found.append((name, b", ".join(once)))
        else:
            found.append((name, value))
    if not any(name == b"cache-control" for name, _ in found):
        found.append((b"cache-control", b"no-store"))
    return found


def bounded(receive: Receive, limit_bytes: int, patience_s: float) -> Receive:
    """`receive` that gives up on a body beyond `limit_bytes` and on a sender who is too slow.

    A sender has `patience_s` and then so long as the body takes at `SLOWEST_BYTES_S`: one byte now
    and then does not hold a place for hours. Once the body is whole the silence is the reader's
    right: a stream may last for hours.
    """
    taken, whole, began = 0, False, time.monotonic()

    async def take() -> Message:
        nonlocal taken, whole
        if whole:
            return await receive()
        try:
            spent_s = time.monotonic() - began - taken / SLOWEST_BYTES_S
            async with asyncio.timeout(max(0.0, patience_s - max(0.0, spent_s))):
                message = await receive()
        except TimeoutError:
            raise HTTPException(408, "The body did not arrive in time.") from None
        if message["type"] == "http.request":
            whole = not message.get("more_body", False)
            taken += len(message.get("body", b""))
            if taken > limit_bytes:
                raise HTTPException(413, f"The body is larger than {limit_bytes} bytes.")
        return message

    return take
