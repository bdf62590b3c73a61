"""A client who never finishes the head of a request is let go; one who works is not."""

import socket
import time

import httpx

from api.app import make_app
from api.settings import Settings
from api.slow_clients import patient_protocol
from tests.api.live_server import serving


def test_a_head_that_never_ends_is_given_up(store):
    with serving(make_app(Settings(store)), http=patient_protocol(0.3)) as address:
        port = int(address.rpartition(":")[2])
        with socket.create_connection(("127.0.0.1", port), 5) as slow:
            slow.settimeout(5)
            began = time.monotonic()
            slow.sendall(b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nX-Slow: ")
            assert slow.recv(100) == b""
            assert time.monotonic() - began < 3


def test_a_client_who_asks_now_and_then_keeps_the_connection(store):
    with (
        serving(make_app(Settings(store)), http=patient_protocol(0.4)) as address,
        httpx.Client(base_url=address) as client,
    ):
        for _ in range(6):
            assert client.get("/healthz").status_code == 200
            time.sleep(0.1)
