"""The way in: every request passes here once, before any route.

In order: a request id; limits on the address and the body; who is asking (401 when nobody known
is) and whether they may ask again so soon; the answer from memory when there is one (200 or 304);
otherwise the routes. On the way out: the request id, safe headers, one count, one log line, one
entry in the log of reads. HEAD is GET without the body; OPTIONS names the methods of the path.
"""

import logging
import random
import re
import time

from starlette.requests import ClientDisconnect, Request
from starlette.types import ASGIApp, Receive, Scope, Send

from api.answering import cache_key
from api.deps import unauthorised
from api.entry_rules import (
    body_limit,
    caller_of_request,
    check_address,
    check_coding,
    check_head,
    check_origin,
)
from api.errors import Problem, answer_of, not_found
from api.exchange import Exchange, bounded
from api.methods import methods_of
from api.negotiation import drop_refused_codings
from api.service import Service
from api.share_links import link_of

logger = logging.getLogger("api.access")

SHARED = "/v1/shared/"
REQUEST_ID = re.compile(rb"[A-Za-z0-9._-]{8,64}")


class Gate:
    """ASGI middleware around the whole application."""

    def __init__(self, app: ASGIApp, service: Service) -> None:
        self.app = app
        self.service = service
        service.refresher.inner = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let one request through."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = dict(scope["headers"])
        patience_s = self.service.settings.slow_client_s
        exchange = Exchange(scope, send, headers, request_id_of(headers), patience_s)
        try:
            await self._handle(exchange, receive)
        except Problem as problem:
            await _send_problem(exchange, problem)
        except ClientDisconnect:
            pass  # whoever asked has gone: there is nobody to answer
        except BaseException:
            exchange.status = exchange.status or 500
            raise
        finally:
            self._note(exchange)

    async def _handle(self, exchange: Exchange, receive: Receive) -> None:
        scope, service = exchange.scope, self.service
        drop_refused_codings(scope, exchange.headers)
        self._admit(exchange)
        if scope["method"] == "OPTIONS":
            await _send_methods(exchange)
            return
        if exchange.caller is None and scope["path"].startswith("/v1/"):
            raise unauthorised() if not scope["path"].startswith(SHARED) else _ended_link()
        if scope["method"] == "HEAD":
            exchange.head = True
            scope["method"] = "GET"
        if scope["method"] == "GET" and await self._from_memory(exchange):
            return
        check_coding(scope, exchange.headers)
        limit = body_limit(scope, exchange.headers, service.settings)
        receive = bounded(receive, limit, service.settings.slow_client_s)
        await self.app(scope, receive, exchange.pass_on)

    def _admit(self, exchange: Exchange) -> None:
        scope, service, headers = exchange.scope, self.service, exchange.headers
        check_address(scope, service.settings.url_limit_bytes)
        check_head(scope, headers)
        check_origin(scope, headers)
        exchange.caller = caller_of_request(scope, headers, service.callers, service.settings)
        self._follow_link(exchange)
        scope.setdefault("state", {}).update(caller=exchange.caller, request_id=exchange.request_id)
        who = exchange.caller.key_id if exchange.caller else (scope.get("client") or ("", 0))[0]
        exchange.extra += service.rate_limit.take(who)

    def _follow_link(self, exchange: Exchange) -> None:
        """Lead the holder of a standing share link to its report, with the link's own rights."""
        scope, service = exchange.scope, self.service
        if not scope["path"].startswith(SHARED):
            return
        exchange.caller = None
        link = link_of(service.state, service.callers, scope["path"].removeprefix(SHARED))
        if link is not None:
            exchange.caller = link.caller()
            scope.setdefault("state", {})["by_link"] = True
            scope["path"], scope["raw_path"] = link.path, link.path.encode()

    async def _from_memory(self, exchange: Exchange) -> bool:
        scope, caller = exchange.scope, exchange.caller
        entry = self.service.cache.get(cache_key(scope["path"], scope["query_string"]))
        if entry is None or caller is None:
            return False
        players = self.service.players
        if entry.stamp != players.stamp(entry.player_id):
            return False
        card = players.at(entry.player_id, entry.stamp)
        if card is None or not (caller.may(entry.needed) and caller.sees(card)):
            return False
        asked = exchange.headers
        exchange.route, exchange.player_id = entry.route, entry.player_id
        self.service.metrics.note_from_memory()
        await exchange.answer(
            *entry.answer(asked.get(b"if-none-match", b""), asked.get(b"accept-encoding", b""))
        )
        return True

    def _note(self, exchange: Exchange) -> None:
        """Count and log one answer: no address, no query, no name, no player's id."""
        seconds = time.perf_counter() - exchange.began
        method, route = exchange.scope["method"], exchange.route_template()
        self.service.metrics.note(route, method, exchange.status, seconds)
        if exchange.caller is not None and method == "GET":
            for player_id in exchange.players():
                self.service.read_log.note(
                    exchange.caller, player_id, report_of(route), exchange.status
                )
        if logger.isEnabledFor(logging.INFO):
            fields = {
                "request_id": exchange.request_id.decode(),
                "method": method,
                "route": route,
                "status": exchange.status,
                "bytes": exchange.sent_bytes,
                "ms": round(seconds * 1000, 2),
                "key_id": exchange.caller.key_id if exchange.caller else "",
            }
            logger.info("answered", extra={"fields": fields})


async def _send_problem(exchange: Exchange, problem: Problem) -> None:
    if exchange.status:
        raise problem  # the answer is under way: the server cuts it short, and the client sees it
    request = Request(exchange.scope)
    response = answer_of(request, problem)
    await exchange.answer(response.status_code, list(response.raw_headers), bytes(response.body))


def _ended_link() -> Problem:
    return not_found("such link", "Ask whoever sent it for a new one.")


def report_of(route: str) -> str:
    """What was read, without the path around it: `profile`, `carry-curves/club/speed-for`."""
    rest = route.removeprefix("/v1/players/{player_id}").removeprefix("/v1").strip("/")
    return rest.replace("{", "").replace("}", "") or "player"


def request_id_of(headers: dict[bytes, bytes]) -> bytes:
    """The caller's own request id when it is a harmless one, else a new one."""
    asked = headers.get(b"x-request-id", b"")
    return asked if asked and REQUEST_ID.fullmatch(asked) else b"%032x" % random.getrandbits(128)


async def _send_methods(exchange: Exchange) -> None:
    methods = methods_of(exchange.scope)
    if not methods:
        raise not_found("such address")
    await exchange.answer(204, [(b"allow", ", ".join(methods).encode())], b"")
