"""Serves one application for the benchmark: `python -m tests.bench.api_serve WHICH STORE`.

Prints its port. `static` is what the framework does at best (a dict), and the framework's own way
of bulk rows (a list of dicts); `carrybook` is the service.
"""

import socket
import sys
from pathlib import Path
from typing import Any

import uvicorn
from fastapi import FastAPI, Request

from analytics.db import open_store
from analytics.rows import RowFilter, row_batches
from api.app import make_app
from api.settings import Settings

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
            return row_batches(connection, "shots", RowFilter()).read_all().to_pylist()

    return app


def main() -> None:
    """Serve until killed."""
    which, store = sys.argv[1], Path(sys.argv[2])
    app = static_app(store)
    if which == "carrybook":
        app = make_app(Settings(store, requests_per_minute=10**9, watch_s=1.0))
    bound = socket.create_server(("127.0.0.1", 0))
    print(bound.getsockname()[1], flush=True)
    server = uvicorn.Server(uvicorn.Config(app, log_config=None, access_log=False))
    server.run(sockets=[bound])


if __name__ == "__main__":
    main()
