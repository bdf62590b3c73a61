"""A bare keep-alive HTTP client that costs little itself, so that the server is measured."""

import asyncio
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np


class Connection(asyncio.Protocol):
    """One connection; one request at a time, answered with (status, body as received)."""

    def __init__(self) -> None:
        self._answer: asyncio.Future[tuple[int, bytearray]] | None = None
        self._got = bytearray()
        self._head: bytes | None = None
        self._length: int | None = None

    def connection_made(self, transport) -> None:
        self._transport = transport

    async def ask(self, request: bytes) -> tuple[int, bytearray]:
        """Send a whole request and wait for its whole answer."""
        if self._transport.is_closing():
            raise ConnectionError("the server has closed this connection")
        self._answer = asyncio.get_running_loop().create_future()
        self._got.clear()
        self._head = None
        self._transport.write(request)
        return await self._answer

    def data_received(self, data: bytes) -> None:
        self._got += data
        if self._head is None:
            place = self._got.find(b"\r\n\r\n")
            if place < 0:
                return
            self._head, self._length = bytes(self._got[:place]), _length(self._got[:place].lower())
        if self._complete() and self._answer is not None:
            body, self._got = self._got, bytearray()
            del body[: len(self._head) + 4]  # no copy: a large answer would be timed for it
            self._answer.set_result((int(self._head[9:12]), body))
            self._answer = None

    def _complete(self) -> bool:
        if self._length is None:
            return self._got.endswith(b"0\r\n\r\n")
        return len(self._got) >= len(self._head or b"") + 4 + self._length

    def connection_lost(self, exc) -> None:
        if self._answer is not None:
            self._answer.set_exception(ConnectionError(str(exc)))


def _length(head: bytes) -> int | None:
    """Length of the body that a head announces; None when it comes in chunks."""
    if b"\r\ntransfer-encoding: chunked" in head:
        return None
    _, named, rest = head.partition(b"\r\ncontent-length:")
    return int(rest.partition(b"\r\n")[0]) if named else 0


def request(method: str, path: str, key: str = "", body: bytes = b"", **headers: str) -> bytes:
    """A request as bytes."""
    lines = [f"{method} {path} HTTP/1.1", "Host: localhost"]
    if key:
        lines.append(f"Authorization: Bearer {key}")
    lines += [f"{name.replace('_', '-')}: {value}" for name, value in headers.items()]
    if body or method == "POST":
        lines.append(f"Content-Length: {len(body)}")
    return "\r\n".join([*lines, "", ""]).encode() + body


@dataclass(frozen=True)
class Target:
    """A server's port and the request to send; `requests` varies it by number."""

    port: int
    requests: Callable[[int], bytes]
    status: int = 200

    @classmethod
    def same(cls, port: int, one: bytes, status: int = 200) -> "Target":
        """The same request each time."""
        return cls(port, lambda _: one, status)


async def connect(port: int) -> Connection:
    """A connection to a port of this machine."""
    loop = asyncio.get_running_loop()
    _, made = await loop.create_connection(Connection, "127.0.0.1", port)
    return made


async def hammer(target: Target, clients: int, n: int) -> np.ndarray:
    """Seconds of each of `n` requests by each of `clients` connections."""

    async def one(client: int) -> list[float]:
        connection = await connect(target.port)
        taken = []
        for number in range(n):
            began = time.perf_counter()
            status, _ = await connection.ask(target.requests(client * n + number))
            taken.append(time.perf_counter() - began)
            assert status == target.status, status
        connection._transport.close()
        return taken

    return np.concatenate(await asyncio.gather(*(one(client) for client in range(clients))))


def interleaved(targets: Sequence[Target], clients: int, n: int, rounds: int) -> list[np.ndarray]:
    """The same for several targets, in turns, so that a noisy moment meets them all."""

    async def run() -> list[list[np.ndarray]]:
        taken: list[list[np.ndarray]] = [[] for _ in targets]
        for target in targets:
            await hammer(target, clients, max(5, n // 10))
        for _ in range(rounds):
            for place, target in enumerate(targets):
                taken[place].append(await hammer(target, clients, n))
        return taken

    return [np.concatenate(parts) for parts in asyncio.run(run())]
