"""A client who never finishes the head of a request is let go; one who works is not."""

import socket
import time
from contextlib import suppress

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


def test_whoever_does_nothing_makes_room_for_whoever_asks(store):
    with serving(make_app(Settings(store)), http=patient_protocol(20.0, most=8)) as address:
        place = ("127.0.0.1", int(address.rpartition(":")[2]))
        idle = [socket.create_connection(place, 5) for _ in range(12)]
        assert httpx.get(f"{address}/healthz").status_code == 200
        for connection in idle:
            connection.settimeout(0.2)
        assert sum(_hung_up(connection) for connection in idle) == 5
        for connection in idle:
            connection.close()


def _hung_up(connection):
    try:
        return connection.recv(1) == b""
    except TimeoutError:
        return False


def test_where_everybody_is_being_answered_one_more_is_told_to_come_back(store):
    slow = make_app(Settings(store))
    with serving(slow, http=patient_protocol(20.0, most=2)) as address:
        place = ("127.0.0.1", int(address.rpartition(":")[2]))
        busy = [socket.create_connection(place, 5) for _ in range(2)]
        for connection in busy:  # both wait for a body that does not come
            connection.sendall(
                b"POST /v1/players HTTP/1.1\r\nHost: localhost\r\nContent-Length: 9\r\n\r\n"
            )
        time.sleep(0.3)
        answer = httpx.get(f"{address}/v1/players")
        assert (answer.status_code, answer.json()["code"]) == (503, "too_many_connections")
        assert answer.headers["content-type"] == "application/problem+json"
        assert answer.headers["retry-after"] == "1"
        for connection in busy:
            connection.close()


def test_a_body_in_drops_is_given_up_and_one_on_a_slow_line_is_not(store):
    with serving(make_app(Settings(store, slow_client_s=0.6))) as address:
        place = ("127.0.0.1", int(address.rpartition(":")[2]))
        drops = _sent_in_pieces(place, [b"{" + b" " * 40] + [b" "] * 40, pause_s=0.05)
        assert b" 408 " in drops
        slow = _sent_in_pieces(place, [b" " * 100] * 12 + [b"{}"], pause_s=0.1)
        assert b" 422 " in slow  # read to its end, and then judged


def _sent_in_pieces(place, pieces, pause_s):
    head = (
        f"POST /v1/players HTTP/1.1\r\nHost: localhost\r\nContent-Length: {sum(map(len, pieces))}"
        "\r\nContent-Type: application/json\r\nConnection: close\r\n\r\n"
    )
    with socket.create_connection(place, 5) as connection:
        connection.settimeout(5)
        connection.sendall(head.encode())
        with suppress(OSError):
            for piece in pieces:
                connection.sendall(piece)
                time.sleep(pause_s)
        return connection.recv(1000)


def test_whoever_hangs_up_in_the_middle_is_no_fault_of_ours(store, caplog):
    with serving(make_app(Settings(store))) as address:
        place = ("127.0.0.1", int(address.rpartition(":")[2]))
        for path in ("/v1/players", "/v1/imports?player_id=pada1"):
            with socket.create_connection(place, 5) as gone:
                head = f"POST {path} HTTP/1.1\r\nHost: localhost\r\nContent-Type: text/csv\r\n"
                gone.sendall(f"{head}Content-Length: 500\r\n\r\nhello".encode())
        assert httpx.get(f"{address}/healthz").status_code == 200
    assert [record for record in caplog.records if record.levelname == "ERROR"] == []
