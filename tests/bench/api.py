"""API figures: ratios to a static dict on the same machine in the same run, on loopback.

Two servers, each one worker, and a client that costs little; in turns. The answer asked for is the
one that stands for a player in a store of ten million shots (fewer with --quick).
"""

import asyncio
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import numpy as np

from api.keys import create_key
from api.service_state import ServiceState
from tests.bench.api_client import Target, connect, hammer, interleaved, request
from tests.bench.api_store import write_player
from tests.bench.rows import Row

GROUP = "api"
PROFILE = "carry-curves"
SHOTS_EACH = 2000
SCOPES = ("read:profiles", "read:rows", "import", "manage")


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
        self.warm = Target.same(own, self.get(self.profile(0)))

    def get(self, path: str, **headers: str) -> bytes:
        """A GET with the key."""
        return request("GET", path, self.key, **headers)

    def profile(self, number: int) -> str:
        """Path of a player's answer."""
        return f"/v1/players/{player(number)}/{PROFILE}"

    def etag(self) -> str:
        """The tag of the warm answer."""
        headers = {"Authorization": f"Bearer {self.key}"}
        answer = httpx.get(f"http://127.0.0.1:{self.own}{self.profile(0)}", headers=headers)
        return answer.headers["etag"]


def rows(quick: bool = False) -> list[Row]:
    """All figures of this group."""
    players = 50 if quick else 5000
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder)
        for number in range(players):
            write_player(store, player(number), SHOTS_EACH, number)
        write_player(store, "pbulk1", 100_000, 10**6)
        state = ServiceState(store)
        _, key = create_key(state, "bench", SCOPES)
        state.close()
        with served("static", store) as static, served("carrybook", store) as own:
            bench = Bench(store, static, own, key, players)
            return list(_figures(bench, 300 if quick else 2000))


def _figures(bench: Bench, n: int) -> Iterator[Row]:
    yield from _warm(bench, n)
    yield _first(bench, 10 if n < 1000 else 40)
    yield from _bulk(bench, 3 if n < 1000 else 5)
    yield _upload(bench, n // 4)
    yield _bystander(bench, n // 2)
    yield _importing(bench, n)


def _row(name: str, ratio: float, aim: str, *, holds: bool) -> Row:
    return Row(name, GROUP, None, round(ratio, 3), aim, holds)


def _warm(bench: Bench, n: int) -> Iterator[Row]:
    asked = bench.get(bench.profile(0), If_None_Match=bench.etag())
    unchanged = Target.same(bench.own, asked, 304)
    for clients in (1, 16):
        each = max(50, n // clients)
        plain, warm, same = interleaved([bench.plain, bench.warm, unchanged], clients, each, 5)
        base = np.median(plain)
        ratio = float(np.median(warm) / base)
        at = f"{clients} client{'s' if clients > 1 else ''}"
        yield _row(f"warm answer / static dict, p50, {at}", ratio, "≤ 1.3", holds=ratio <= 1.3)
        ratio = float(np.median(same) / base)
        yield _row(f"304 / static dict, p50, {at}", ratio, "≤ 1.1", holds=ratio <= 1.1)
        ratio = float(np.quantile(warm, 0.99) / np.median(warm))
        yield _row(f"warm answer, p99 / p50, {at}", ratio, "≤ 3", holds=ratio <= 3)
        ratio = float(np.quantile(plain, 0.99) / np.median(plain))
        yield _row(f"static dict, p99 / p50, {at} (for comparison)", ratio, "none", holds=True)


def export(number: int, n: int = 60) -> bytes:
    """An export of `n` balls that differs by its number."""
    lines = ["Shot,Local time,Club,Club speed (m/s),Carry (m)"]
    day = f"2026-{6 + number // 28 % 6:02d}-{number % 28 + 1:02d}"
    lines += [
        f"{i},{day} {10 + number // 168:02d}:{i:02d}:00,SW,{8 + i / 50:.2f},{7 + i / 25:.2f}"
        for i in range(n)
    ]
    return ("\n".join(lines) + "\n").encode()


def _send(bench: Bench, number: int, whose: int, **headers: str) -> bytes:
    path = f"/v1/imports?player_id={player(whose)}&name=made.csv"
    return request("POST", path, bench.key, export(number), Content_Type="text/csv", **headers)


def _first(bench: Bench, n: int) -> Row:
    """The first read after a new import of this player has finished."""

    async def run() -> tuple[list[float], list[float]]:
        own, plain = await connect(bench.own), await connect(bench.static)
        first, base = [], []
        for number in range(n):
            status, body = await own.ask(_send(bench, number, 0, Prefer="wait=30"))
            assert (status, b'"finished"' in body) == (202, True), body
            for times, connection, asked in (
                (first, own, bench.warm.requests(0)),
                (base, plain, bench.plain.requests(0)),
            ):
                began = time.perf_counter()
                await connection.ask(asked)
                times.append(time.perf_counter() - began)
        return first, base

    first, base = asyncio.run(run())
    ratio = float(np.median(first) / np.median(base))
    name = "first answer after a new import / static dict, p50"
    return _row(name, ratio, "≤ 10", holds=ratio <= 10)


def _bulk(bench: Bench, rounds: int) -> Iterator[Row]:
    path = "/v1/players/pbulk1/shots"
    targets = [
        Target.same(bench.static, request("GET", "/rows?player_id=pbulk1")),
        Target.same(bench.own, bench.get(f"{path}?format=arrow")),
        Target.same(bench.own, bench.get(f"{path}?format=json&limit=100000")),
        Target.same(bench.own, bench.get(f"{path}?format=csv")),
        Target.same(bench.own, bench.get(f"{path}?format=parquet")),
    ]

    async def run() -> list[float]:
        taken: list[list[float]] = [[] for _ in targets]
        for _ in range(rounds):
            for place, target in enumerate(targets):
                taken[place] += list(await hammer(target, 1, 1))
        return [float(np.median(times)) for times in taken]

    default, arrow, as_json, csv, parquet = asyncio.run(run())
    ratio = default / arrow
    yield _row("100,000 rows: default JSON / Arrow", ratio, "≥ 50", holds=ratio >= 50)
    ratio = as_json / arrow
    yield _row("100,000 rows: JSON / Arrow", ratio, "≤ 6", holds=ratio <= 6)
    yield _row("100,000 rows: CSV / Arrow (for comparison)", csv / arrow, "none", holds=True)
    yield _row(
        "100,000 rows: Parquet / Arrow (for comparison)", parquet / arrow, "none", holds=True
    )


def _upload(bench: Bench, n: int) -> Row:
    """Acknowledging an upload of 60 rows; the imports themselves are done in between."""
    posted = request("POST", "/static", "", export(0), Content_Type="text/csv")
    plain = Target.same(bench.static, posted)

    async def run() -> tuple[list[float], list[float]]:
        own, static = await connect(bench.own), await connect(bench.static)
        sent, base = [], []
        for number in range(n):
            for times, connection, asked in (
                (sent, own, _send(bench, 2000 + number % 900, 1 + number % (bench.players - 1))),
                (base, static, plain.requests(0)),
            ):
                began = time.perf_counter()
                status, _ = await connection.ask(asked)
                times.append(time.perf_counter() - began)
                assert status in {200, 202}, status
            await _calm(bench, own, number)
        return sent, base

    sent, base = asyncio.run(run())
    ratio = float(np.median(sent) / np.median(base))
    return _row("upload of 60 rows / static POST, p50", ratio, "≤ 3", holds=ratio <= 3)


async def _calm(bench: Bench, own, number: int) -> None:
    """Now and then wait until the jobs are done."""
    if number % 10 == 9:
        while True:
            _, body = await own.ask(bench.get("/metrics"))
            if b"carrybook_jobs_waiting 0.0" in body:
                return
            await asyncio.sleep(0.05)


def _bystander(bench: Bench, n: int) -> Row:
    """A reader of a kept answer while sixteen others ask for what must be queried."""

    def heavy(number: int) -> bytes:
        whose = player(1 + number % (bench.players - 1))
        return bench.get(
            f"/v1/players/{whose}/shots?limit=500&since=2026-03-02T17:00:{number % 60:02d}Z"
        )

    async def run() -> tuple[np.ndarray, np.ndarray]:
        quiet = await hammer(bench.warm, 1, n)
        others = asyncio.create_task(hammer(Target(bench.own, heavy), 16, 10**6))
        await asyncio.sleep(0.5)
        beside = await hammer(bench.warm, 1, n)
        others.cancel()
        await asyncio.gather(others, return_exceptions=True)
        return quiet, beside

    quiet, beside = asyncio.run(run())
    ratio = float(np.median(beside) / np.median(quiet))
    return _row(
        "a reader's p50 beside 16 heavy clients / alone", ratio, "≤ 1.5", holds=ratio <= 1.5
    )


def _importing(bench: Bench, n: int) -> Row:
    """A reader's p99 while imports of other players run all the time."""

    async def imports(stop: asyncio.Event) -> int:
        own, done = await connect(bench.own), 0
        while not stop.is_set():
            whose = 1 + done % (bench.players - 1)
            await own.ask(_send(bench, 4000 + done % 900, whose, Prefer="wait=30"))
            done += 1
        return done

    async def run() -> tuple[np.ndarray, np.ndarray, int]:
        quiet = await hammer(bench.warm, 1, n)
        stop = asyncio.Event()
        others = asyncio.create_task(imports(stop))
        beside = await hammer(bench.warm, 1, n)
        stop.set()
        return quiet, beside, await others

    quiet, beside, done = asyncio.run(run())
    assert done > 0
    ratio = float(np.quantile(beside, 0.99) / np.quantile(quiet, 0.99))
    name = "a reader's p99 while imports run / alone"
    return _row(name, ratio, "≤ 2", holds=ratio <= 2)
