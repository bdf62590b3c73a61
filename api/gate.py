"""The way in: every request passes here once, before any route.

In order: a request id; limits on the address and the body; who is asking (401 when nobody known
is); the answer from memory when there is one (200 or 304); otherwise the routes. On the way out:
the request id, safe headers, compression, one count and one log line. HEAD is GET without the
body; OPTIONS names the methods of the path.
"""

import logging
import re
import time
import uuid
from dataclasses import dataclass, field

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.access import OWNER, Caller
from api.answering import cache_key
from api.cache import Headers
from api.deps import unauthorised
from api.errors import Problem, problem_of
from api.methods import methods_of
from api.service import Service

logger = logging.getLogger("api.access")

LOOPBACK = frozenset({"127.0.0.1", "::1"})
LOOPBACK_NAMES = frozenset({b"127.0.0.1", b"localhost", b"[::1]"})
REQUEST_ID = re.compile(rb"[A-Za-z0-9._-]{8,64}")
SAFE_HEADERS: Headers = [
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
]


@dataclass
class Exchange:
    """One request and what is known of its answer so far."""

    scope: Scope
    send: Send
    headers: dict[bytes, bytes]
    request_id: bytes
    began: float = field(default_factory=time.perf_counter)
    caller: Caller | None = None
    status: int = 0
    sent_bytes: int = 0
    route: str = ""
    head: bool = False
    extra: Headers = field(default_factory=list)

    async def start(self, message: Message) -> None:
        """Send the head of the answer with the gate's own headers."""
        self.status = message["status"]
        message["headers"] = [
            *message.get("headers", []),
            (b"x-request-id", self.request_id),
            *SAFE_HEADERS,
            *self.extra,
        ]
        await self.send(message)

    async def pass_on(self, message: Message) -> None:
        """What the routes send, on its way out."""
        if message["type"] == "http.response.start":
            await self.start(message)
            return
        if message["type"] == "http.response.body":
            self.sent_bytes += len(message.get("body", b""))
            if self.head:
                message["body"] = b""
        await self.send(message)

    async def answer(self, status: int, headers: Headers, body: bytes) -> None:
        """A whole answer at once."""
        await self.start({"type": "http.response.start", "status": status, "headers": headers})
        self.sent_bytes += len(body)
        await self.send({"type": "http.response.body", "body": b"" if self.head else body})


class Gate:
    """ASGI middleware around the whole application."""

    def __init__(self, app: ASGIApp, service: Service) -> None:
        self.app = app
        self.service = service

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let one request through."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = dict(scope["headers"])
        exchange = Exchange(scope, send, headers, request_id_of(headers))
        try:
            await self._handle(exchange, receive)
        except Problem as problem:
            await _send_problem(exchange, problem)
        except Exception as error:  # the last resort: an answer for the client, a trace for us
            logger.exception("unexpected", extra={"request_id": exchange.request_id.decode()})
            await _send_problem(exchange, problem_of(error))
        finally:
            self._note(exchange)

    async def _handle(self, exchange: Exchange, receive: Receive) -> None:
        scope = exchange.scope
        self._check_address(scope)
        state = scope.setdefault("state", {})
        exchange.caller = state["caller"] = self._caller(scope, exchange.headers)
        if scope["method"] == "OPTIONS":
            await _send_methods(exchange)
            return
        if exchange.caller is None and scope["path"].startswith("/v1"):
            raise unauthorised()
        if scope["method"] == "HEAD":
            exchange.head = True
            scope["method"] = "GET"
        if scope["method"] == "GET" and await self._from_memory(exchange):
            return
        await self.app(scope, receive, exchange.pass_on)

    def _check_address(self, scope: Scope) -> None:
        limit = self.service.settings.url_limit_bytes
        if len(scope["path"]) + len(scope["query_string"]) > limit:
            mend = f"Keep path and query under {limit} bytes."
            raise Problem(414, "address_too_long", "The address is too long.", mend)

    def _caller(self, scope: Scope, headers: dict[bytes, bytes]) -> Caller | None:
        """The owner, when asked from this machine under a local name; nobody otherwise."""
        client = scope.get("client") or ("", 0)
        name = host_name(headers.get(b"host", b""))
        if b"authorization" in headers:
            return None
        return OWNER if client[0] in LOOPBACK and name in LOOPBACK_NAMES else None

    async def _from_memory(self, exchange: Exchange) -> bool:
        scope, caller = exchange.scope, exchange.caller
        entry = self.service.cache.get(cache_key(scope["path"], scope["query_string"]))
        if entry is None or caller is None:
            return False
        players = self.service.players
        card = players.get(entry.player_id)
        if card is None or entry.stamp != players.stamp(entry.player_id):
            return False
        if not (caller.may(entry.needed) and caller.sees(card)):
            return False
        asked = exchange.headers
        exchange.route = entry.route
        await exchange.answer(
            *entry.answer(asked.get(b"if-none-match", b""), asked.get(b"accept-encoding", b""))
        )
        return True

    def _note(self, exchange: Exchange) -> None:
        """One log line: no address, no query, no name."""
        scope = exchange.scope
        route = exchange.route or getattr(scope.get("route"), "path_format", "")
        logger.info(
            "answered",
            extra={
                "request_id": exchange.request_id.decode(),
                "method": scope["method"],
                "route": route,
                "status": exchange.status,
                "bytes": exchange.sent_bytes,
                "ms": round((time.perf_counter() - exchange.began) * 1000, 2),
                "key_id": exchange.caller.key_id if exchange.caller else "",
            },
        )


async def _send_problem(exchange: Exchange, problem: Problem) -> None:
    if exchange.status:
        return  # the answer is under way: cutting it short is all that is left
    response = problem.response()
    await exchange.answer(response.status_code, list(response.raw_headers), bytes(response.body))


def host_name(host: bytes) -> bytes:
    """The name in a Host header, without the port."""
    name, colon, port = host.rpartition(b":")
    return name if colon and port.isdigit() else host


def request_id_of(headers: dict[bytes, bytes]) -> bytes:
    """The caller's own request id when it is a harmless one, else a new one."""
    asked = headers.get(b"x-request-id", b"")
    return asked if REQUEST_ID.fullmatch(asked) else uuid.uuid4().hex.encode()


async def _send_methods(exchange: Exchange) -> None:
    methods = methods_of(exchange.scope)
    if not methods:
        raise Problem(404, "not_found", "There is no such address.", "See /openapi.json.")
    await exchange.answer(204, [(b"allow", ", ".join(methods).encode())], b"")
