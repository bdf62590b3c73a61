"""Gives up on clients who open a connection and then take their time over the request's head.

What is no HTTP at all is answered with a problem, as everything else that is refused.
"""

import asyncio
import time

import h11
from starlette.types import Receive, Scope, Send
from uvicorn.protocols.http.h11_impl import H11Protocol

from api.errors import Problem


def refusal(said: str) -> tuple[h11.Response, h11.Data, h11.EndOfMessage]:
    """The whole answer to what is no HTTP request."""
    problem = Problem(400, "no_http_request", said, "Send a request as RFC 9112 has it.")
    response = problem.response()
    headers = [*response.raw_headers, (b"connection", b"close")]
    head = h11.Response(status_code=400, headers=headers, reason=b"Bad Request")
    return head, h11.Data(data=bytes(response.body)), h11.EndOfMessage()


async def _no_room(scope: Scope, receive: Receive, send: Send) -> None:
    problem = Problem(
        503,
        "too_many_connections",
        "As many as can be served at once are being served.",
        "Come back in a second; keep one connection and ask over it again.",
        {"Retry-After": "1", "Connection": "close"},
    )
    await problem.response()(scope, receive, send)


class PatientProtocol(H11Protocol):
    """Closes a connection on which no request has begun for too long.

    The gate sees to slow bodies and slow readers; before the head is whole there is no request for
    it to see. Beyond `most` connections the one idle for longest makes room for a new one, so that
    nobody can keep the others out by doing nothing; where nobody is idle, 503 is the answer.
    """

    seconds = 20.0
    most = 500
    _seen_at = 0.0
    _seen_cycle: object = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to count."""
        super().connection_made(transport)
        self._seen_at = time.monotonic()
        self.loop.call_later(self.seconds / 2, self._look)
        if len(self.connections) > self.most:
            self._make_room()

    def _make_room(self) -> None:
        idle = [
            one
            for one in self.connections
            if isinstance(one, PatientProtocol) and one is not self and one._idle()
        ]
        if idle:
            # Whoever never asked anything goes before whoever may ask again.
            longest = min(idle, key=lambda one: (one.cycle is not None, one._seen_at))
            longest.transport.close()
        else:
            self.app = _no_room

    def _idle(self) -> bool:
        return not self.transport.is_closing() and not self._answering()

    def send_400_response(self, msg: str) -> None:
        """Say that this is no HTTP request, and hang up."""
        self.transport.write(b"".join(self.conn.send(event) or b"" for event in refusal(msg)))
        self.transport.close()

    def _look(self) -> None:
        if self.transport.is_closing():
            return
        if self.cycle is not self._seen_cycle or self._answering():
            self._seen_cycle, self._seen_at = self.cycle, time.monotonic()
        if time.monotonic() - self._seen_at >= self.seconds:
            self.transport.close()
            return
        self.loop.call_later(self.seconds / 2, self._look)

    def _answering(self) -> bool:
        return self.cycle is not None and not self.cycle.response_complete


def patient_protocol(seconds: float, most: int = 500) -> type[H11Protocol]:
    """A protocol for uvicorn that waits so long for the head of a request, and no longer."""
    return type("Patient", (PatientProtocol,), {"seconds": seconds, "most": most})
