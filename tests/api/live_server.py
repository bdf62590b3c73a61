"""The service on a real socket, in a thread of the test's own process."""

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

import uvicorn
from fastapi import FastAPI


@contextmanager
def serving(app: FastAPI, **options) -> Iterator[str]:
    """The address of `app` while it is being served on loopback."""
    config = uvicorn.Config(
        app, host="127.0.0.1", port=0, log_config=None, access_log=False, **options
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    end = time.monotonic() + 20
    while not server.started and time.monotonic() < end:
        time.sleep(0.01)
    assert server.started, "the server did not start"
    port = server.servers[0].sockets[0].getsockname()[1]
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        server.should_exit = True
        thread.join(20)
        assert not thread.is_alive()
