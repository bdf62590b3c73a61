"""The two servers that are compared, and what is asked of them."""

import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx

from tests.bench.api_client import Target, request

READER = "c5zn73"
"""A player of the demo, with everything a profile looks at."""


@contextmanager
def served(which: str, store: Path) -> Iterator[int]:
    """The port of one of the servers."""
    command = [sys.executable, "-m", "tests.bench.api_serve", which, str(store)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        port = int(server.stdout.readline())
        time.sleep(1.0)
        try:
            yield port
        finally:
            server.terminate()


def player(number: int) -> str:
    """Id of one of the store's players."""
    return f"p{number:06d}"


class Bench:
    """Both servers over one store."""

    def __init__(self, store: Path, static: int, own: int, key: str, players: int) -> None:
        self.store = store
        self.static = static
        self.own = own
        self.key = key
        self.players = players
        self.plain = Target.same(static, request("GET", "/static"))
        self.warm = Target.same(own, self.get(self.answer("profile")))

    def get(self, path: str, **headers: str) -> bytes:
        """A GET with the key."""
        return request("GET", path, self.key, **headers)

    def answer(self, which: str) -> str:
        """Path of an answer about the reader's player."""
        return f"/v1/players/{READER}/{which}"

    def etag(self, which: str) -> str:
        """The tag of an answer, which is kept from then on."""
        headers = {"Authorization": f"Bearer {self.key}"}
        address = f"http://127.0.0.1:{self.own}{self.answer(which)}"
        return httpx.get(address, headers=headers, timeout=60).headers["etag"]


def export(number: int, n: int = 60) -> bytes:
    """An export of `n` balls that differs by its number."""
    lines = ["Shot,Local time,Club,Club speed (m/s),Carry (m)"]
    day = f"2026-{6 + number // 28 % 6:02d}-{number % 28 + 1:02d}"
    lines += [
        f"{i},{day} {10 + number // 168:02d}:{i:02d}:00,SW,{8 + i / 50:.2f},{7 + i / 25:.2f}"
        for i in range(n)
    ]
    return ("\n".join(lines) + "\n").encode()


def send(bench: Bench, number: int, whose: str, **headers: str) -> bytes:
    path = f"/v1/imports?player_id={whose}&name=made.csv"
    return request("POST", path, bench.key, export(number), Content_Type="text/csv", **headers)
