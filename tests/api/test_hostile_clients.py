"""Clients who mean harm beyond what the OWASP list names: a clear problem, nothing half done."""

import gzip
import json
import socket
from concurrent.futures import ThreadPoolExecutor

import httpx
import pytest

from api.app import make_app
from api.settings import Settings
from api.slow_clients import patient_protocol
from api.webhook_send import is_public
from tests.api.live_server import serving

PLAYERS = "/v1/players"
JSON = {"Content-Type": "application/json"}
AT_ONCE = 12


@pytest.fixture(scope="module")
def port(tmp_path_factory):
    """The service on a real socket, as `carrybook serve` has it."""
    store = tmp_path_factory.mktemp("hostile") / "store"
    store.mkdir()
    with serving(make_app(Settings(store)), http=patient_protocol(5.0)) as address:
        yield int(address.rpartition(":")[2])


def sent(port, data):
    """Everything the service says to these bytes, as head lines and body."""
    with socket.create_connection(("127.0.0.1", port), 5) as connection:
        connection.settimeout(5)
        connection.sendall(data)
        answer = b""
        while part := connection.recv(65536):
            answer += part
    head, _, body = answer.partition(b"\r\n\r\n")
    return head.lower().decode().split("\r\n"), body


def request(path="/v1/players", lines=()):
    """A request as bytes."""
    head = [f"GET {path} HTTP/1.1", "Host: localhost", "Connection: close", *lines]
    return "\r\n".join([*head, "", ""]).encode()


@pytest.mark.parametrize(
    ("data", "status", "code"),
    [
        (b"no http at all\r\n\r\n", 400, "no_http_request"),
        (b"\x16\x03\x01\x00\xa5\x01\r\n\r\n", 400, "no_http_request"),
        (request(lines=["Content-Length: 3", "Content-Length: 4"]), 400, "no_http_request"),
        (request(lines=["Content-Length: -1"]), 400, "no_http_request"),
        (request(lines=["Transfer-Encoding: gzip"]), 400, "no_http_request"),
        (request(lines=["Content-Length: 3", "Transfer-Encoding: chunked"]), 400, "two_lengths"),
        (request(lines=["X-Long: " + "a" * 20_000]), 431, "head_too_large"),
        (request(lines=[f"X-{n}: a" for n in range(200)]), 431, "head_too_large"),
    ],
    ids=lambda value: str(value)[:40],
)
def test_a_head_that_will_not_do_is_a_problem_and_the_end(port, data, status, code):
    head, body = sent(port, data)
    assert head[0].startswith(f"http/1.1 {status}")
    assert "content-type: application/problem+json" in head
    assert "connection: close" in head
    assert json.loads(body)["code"] == code


@pytest.mark.parametrize(
    "path",
    [
        "/v1/players/%2e%2e/keys",
        "/v1/players/..%2fkeys",
        "//v1/players",
        "/v1//players",
        "/v1/players/q3fk82/%2e%2e/%2e%2e/keys",
        "/v1/players/q3fk82%00",
        "/v1/players/%ff%fe",
        "http://other.example/v1/players",
        "/v1/shared/%2e%2e",
    ],
)
def test_a_path_is_taken_as_it_is_written_and_leads_nowhere_else(port, path):
    head, body = sent(port, request(path))
    assert head[0].startswith("http/1.1 404")
    assert json.loads(body)["status"] == 404


def test_no_line_of_a_request_becomes_a_line_of_the_answer(port):
    lines = ["X-Request-Id: abcdefgh%0d%0aX-Evil: 1", "Prefer: wait=9%0d%0aX-Evil: 1"]
    head, _ = sent(port, request("/v1/players?after=%0d%0aX-Evil:%201&limit=1", lines))
    assert not [line for line in head if line.startswith("x-evil")]


@pytest.mark.parametrize(
    "body",
    [
        b'{"display_name":' + b"[" * 200_000 + b"]" * 200_000 + b"}",
        b'{"a":' * 100_000 + b"1" + b"}" * 100_000,
        b'{"display_name":' + b"9" * 5000 + b"}",
        b'{"display_name":"\xff"}',
        b'{"display_name":"\\ud800"}',
        b'{"display_name":NaN}',
        b"null",
        b"[]",
        b"{",
    ],
    ids=lambda body: body[:24].decode("latin-1"),
)
def test_json_that_is_deep_huge_or_broken_is_refused(client, body):
    answer = client.post(PLAYERS, content=body, headers=JSON)
    assert answer.status_code in {400, 422}
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.json()["mend"]


def test_a_body_of_another_kind_is_told_what_to_say(client):
    for kind in ("application/x-www-form-urlencoded", "text/plain", ""):
        headers = {"Content-Type": kind} if kind else {}
        answer = client.post(PLAYERS, content=b'{"display_name":"Eve"}', headers=headers)
        assert answer.status_code == 415
        assert "application/json" in answer.json()["mend"]
    spelt = {"Content-Type": "Application/JSON; charset=utf-8"}
    assert client.post(PLAYERS, content=b'{"display_name":"Eve"}', headers=spelt).status_code == 201


def test_a_body_sent_compressed_is_not_unpacked(client):
    bomb = gzip.compress(b'{"display_name":"' + b"A" * 50_000_000 + b'"}')
    for path in (PLAYERS, "/v1/imports?player_id=pada1"):
        headers = JSON | {"Content-Encoding": "gzip"}
        answer = client.post(path, content=bomb, headers=headers)
        assert answer.status_code == 415
        assert answer.json()["code"] == "unsupported_coding"
        assert answer.headers["accept-encoding"] == "identity"


@pytest.fixture
def racing(with_rows):
    """Sends the same request many times at once; yields a function of its arguments."""
    app = make_app(Settings(with_rows, import_process=False))
    with serving(app) as address, httpx.Client(base_url=address, timeout=60) as client:

        def race(path, **options):
            with ThreadPoolExecutor(AT_ONCE) as pool:
                asked = [
                    pool.submit(httpx.post, address + path, timeout=60, **options)
                    for _ in range(AT_ONCE)
                ]
                return [answer.result() for answer in asked]

        yield client, race


def test_a_key_sent_many_times_at_once_makes_one_thing(racing):
    client, race = racing
    before = len(client.get(PLAYERS).json()["items"])
    answers = race(PLAYERS, json={"display_name": "Eve"}, headers={"Idempotency-Key": "once"})
    made = {a.json()["player_id"] for a in answers if a.status_code == 201}
    assert len(made) == 1
    assert {a.status_code for a in answers} <= {201, 409}
    assert len(client.get(PLAYERS).json()["items"]) == before + 1


def test_taking_back_and_bringing_back_many_times_at_once_is_once(racing):
    client, race = racing
    path = (
        "/v1/imports/" + client.get("/v1/imports?player_id=pada1").json()["items"][0]["import_id"]
    )
    rows = client.get("/v1/players/pada1/shots").json()
    for verb, stands in (("undo", False), ("redo", True), ("undo", False), ("redo", True)):
        answers = race(f"{path}/{verb}")
        assert {answer.status_code for answer in answers} == {200}
        assert {answer.json()["standing"] for answer in answers} == {stands}
        assert client.get(path).json()["standing"] is stands
    assert client.get("/v1/players/pada1/shots").json() == rows


@pytest.mark.parametrize(
    ("address", "public"),
    [
        ("93.184.216.34", True),
        ("2606:2800:220:1::1", True),
        ("::ffff:93.184.216.34", True),
        ("127.0.0.1", False),
        ("169.254.169.254", False),
        ("100.64.0.1", False),
        ("224.0.0.1", False),
        ("255.255.255.255", False),
        ("0.0.0.0", False),
        ("::1", False),
        ("::ffff:169.254.169.254", False),
        ("64:ff9b::a9fe:a9fe", False),
        ("2002:7f00:1::", False),
        ("::7f00:1", False),
        ("fd00:ec2::254", False),
        ("fe80::1%eth0", False),
        ("ff02::1", False),
    ],
)
def test_messages_go_to_public_hosts_only(address, public):
    """Special addresses by RFC 6890, 64:ff9b::/96 by RFC 6052, 2002::/16 by RFC 3056."""
    assert is_public(address) is public


@pytest.mark.parametrize(
    "query",
    [
        "shots?after=999999999999999999-ff",
        "shots?after=-1-ff",
        "shots?after=0-ff;DROP",
        "shots?limit=1e3",
        "shots?club=SW'--",
        "shots?fields=" + ",".join(["club"] * 150),
        "shots?as_of=0001-01-01T00:00:00%2B14:00",
        "shots?since=9999-12-31T23:59:59-14:00",
        "profile?as_of=9999-12-31T23:59:59-14:00",
        "carry-curves/SW/speed-for?carry_m=1e308",
        "carry-curves/SW/speed-for?carry_m=nan",
    ],
)
def test_queries_at_the_edge_are_answered_or_refused(client, query):
    answer = client.get(f"/v1/players/pada1/{query}")
    assert answer.status_code in {200, 404, 422}
