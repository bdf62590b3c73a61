"""API figures: ratios to a static dict on the same machine in the same run, on loopback.

Two servers, each one worker, and a client that costs little; in turns. The answer asked for is the
profile of a player of the demo, with balls, swings, pairs and marks of eight days, among ten
million shots of others (fewer with --quick).
"""

import asyncio
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from api.demo_book import build_demo
from api.keys import create_key
from api.service_state import ServiceState
from tests.bench.api_client import Target, connect, hammer, interleaved, request
from tests.bench.api_servers import READER, Bench, export, player, send, served
from tests.bench.api_store import write_player
from tests.bench.rows import Row

GROUP = "api"
SHOTS_EACH = 2000
SCOPES = ("read:profiles", "read:rows", "import", "manage")


def rows(quick: bool = False) -> list[Row]:
    """All figures of this group."""
    players = 50 if quick else 5000
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder)
        build_demo(store)
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
    yield from _warm(bench, "profile", n)
    yield from _warm(bench, "carry-curves", n)
    yield _anew(bench, 8 if n < 1000 else 30)
    yield _first(bench, 10 if n < 1000 else 40)
    yield from _bulk(bench, 3 if n < 1000 else 5)
    yield _upload(bench, n // 10)
    yield _bystander(bench, n // 2)
    yield _importing(bench, n)


def _row(name: str, ratio: float, aim: str, *, holds: bool) -> Row:
    return Row(name, GROUP, None, round(ratio, 3), aim, holds)


def _warm(bench: Bench, which: str, n: int) -> Iterator[Row]:
    path = bench.answer(which)
    unchanged = Target.same(bench.own, bench.get(path, If_None_Match=bench.etag(which)), 304)
    kept = Target.same(bench.own, bench.get(path))
    for clients in (1, 16):
        each = max(50, n // clients)
        plain, warm, same = interleaved([bench.plain, kept, unchanged], clients, each, 5)
        base = np.median(plain)
        ratio = float(np.median(warm) / base)
        at = f"{clients} client{'s' if clients > 1 else ''}"
        yield _row(f"warm {which} / static dict, p50, {at}", ratio, "≤ 1.3", holds=ratio <= 1.3)
        ratio = float(np.median(same) / base)
        yield _row(f"304 of {which} / static dict, p50, {at}", ratio, "≤ 1.1", holds=ratio <= 1.1)
        ratio = float(np.quantile(warm, 0.99) / np.median(warm))
        yield _row(f"warm {which}, p99 / p50, {at}", ratio, "≤ 3", holds=ratio <= 3)
        ratio = float(np.quantile(plain, 0.99) / np.median(plain))
        yield _row(f"static dict, p99 / p50, {at} (for comparison)", ratio, "none", holds=True)


def _anew(bench: Bench, n: int) -> Row:
    """The profile computed while the request waits, each time as of another instant."""

    def path(number: int) -> bytes:
        return bench.get(f"{bench.answer('profile')}?as_of=2036-01-01T00:00:{number:02d}Z")

    async def run() -> tuple[np.ndarray, np.ndarray]:
        return await hammer(Target(bench.own, path), 1, n), await hammer(bench.plain, 1, n)

    anew, base = asyncio.run(run())
    ratio = float(np.median(anew) / np.median(base))
    return _row("profile computed anew / static dict (for comparison)", ratio, "none", holds=True)


def _first(bench: Bench, n: int) -> Row:
    """The first read after a new import of this player has finished."""

    async def run() -> tuple[list[float], list[float]]:
        own, plain = await connect(bench.own), await connect(bench.static)
        first, base = [], []
        for number in range(n):
            status, body = await own.ask(send(bench, number, READER, Prefer="wait=30"))
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
                (
                    sent,
                    own,
                    send(bench, 2000 + number % 900, player(1 + number % (bench.players - 1))),
                ),
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
            whose = player(1 + done % (bench.players - 1))
            await own.ask(send(bench, 4000 + done % 900, whose, Prefer="wait=30"))
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
