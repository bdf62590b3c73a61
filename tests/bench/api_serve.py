"""Serves one application for the benchmark: `python -m tests.bench.api_serve WHICH STORE`.

Prints its port. `static` is what the framework does at best (a dict), and the framework's own way
of bulk rows (a list of dicts); `carrybook` is the service.
"""

import asyncio
import sys
from pathlib import Path
from typing import Any

import uvicorn
from fastapi import FastAPI, Request

from analytics.db import open_store
from analytics.rows import row_batches
from api.app import make_app
from api.running import be_prompt
from api.settings import Settings
from api.slow_clients import patient_protocol

PLAIN = {
    "player_id": "p000000",
    "as_of": "2026-05-04T17:30:00Z",
    "curves": [
        {"club": club, "value": 7.4, "low": 7.1, "high": 7.7, "n_shots": 500, "state": "clear"}
        for club in ("SW", "PW", "9I", "GW")
    ],
}


def static_app(store: Path) -> FastAPI:
    """The comparison."""
    app = FastAPI()

    @app.get("/static")
    async def static() -> dict[str, Any]:
        return PLAIN

    @app.post("/static")
    async def post_static(request: Request) -> dict[str, Any]:
        await request.body()
        return {"state": "waiting"}

    @app.get("/rows")
    async def rows(player_id: str) -> list[dict[str, Any]]:
        with open_store(store, player_id) as connection:
            return row_batches(connection, "shots").read_all().to_pylist()

    return app


def main() -> None:
    """Serve until killed."""
    which, store = sys.argv[1], Path(sys.argv[2])
    config = uvicorn.Config(
        static_app(store), port=0, log_config=None, access_log=False, timeout_keep_alive=600
    )
    if which == "carrybook":
        config.app = make_app(Settings(store, requests_per_minute=10**9, watch_s=1.0))
        config.http = patient_protocol(20.0)  # both as `carrybook serve` has it
        be_prompt()
    asyncio.run(serve(uvicorn.Server(config)))


async def serve(server: uvicorn.Server) -> None:
    """Serve, and print the port once it is known.

    The server binds its port itself: a socket made elsewhere would be without TCP_NODELAY.
    """
    serving = asyncio.ensure_future(server.serve())
    while not server.started:
        await asyncio.sleep(0.01)
    print(server.servers[0].sockets[0].getsockname()[1], flush=True)
    await serving


if __name__ == "__main__":
    main()
