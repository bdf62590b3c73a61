"""The guide names only what is there, and every request on it is answered as it says."""

import re
import shlex
from pathlib import Path

import pytest

from api.access import SCOPES
from api.app import make_app
from api.keys import create_key
from api.service_state import ServiceState
from api.settings import Settings
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from tests.api.client import client_of
from tests.api.conftest import shot_rows

GUIDE = Path("docs/api_guide.md").read_text("utf-8")
PATHS = set(make_app(Settings(Path("nowhere"))).openapi()["paths"])


def known(address: str) -> bool:
    """Whether an address of the guide is one of the description's."""
    pattern = re.sub(r"\{\w+\}", "[^/]+", "|".join(f"(?:{path})" for path in PATHS))
    return re.fullmatch(pattern, address) is not None


def test_every_address_is_one_of_the_services():
    named = re.findall(r"(?:\$BOOK|GET |POST )(/v1/[\w/{}\-]+)", GUIDE)
    assert len(named) > 8
    assert [address for address in named if not known(address.rstrip("/"))] == []


def test_every_resource_of_a_player_is_there():
    listed = GUIDE.partition("Under `/v1/players/{player_id}`:")[2].partition("and more")[0]
    for name in re.findall(r"`([\w-]+)`", listed):
        assert f"/v1/players/{{player_id}}/{name}" in PATHS, name


def test_every_scope_is_explained():
    assert all(f"`{scope}`" in GUIDE for scope in SCOPES)


BLOCKS = re.findall(r"(?:^    .*\n)+", GUIDE, re.MULTILINE)
LINES = "".join(BLOCKS).replace("\\\n", " ").splitlines()
CURLS = [line.strip() for line in LINES if line.strip().startswith("curl ")]
FILE = re.search(r"cat > monday\.csv <<END\n((?:    .*\n)+?)    END", GUIDE)
TAKES_A_VALUE = {"-H": "header", "-d": "data", "--data-binary": "file", "-o": "output"}


def request_of(command: str, key: str) -> tuple[str, str, dict, bytes | None]:
    """What a `curl` command of the guide sends: method, address, headers, body."""
    spoken = command.replace("$KEY", key).replace("$BOOK", "")
    words, headers, body, address = iter(shlex.split(spoken)[1:]), {}, None, ""
    for word in words:
        kind = TAKES_A_VALUE.get(word)
        value = next(words) if kind else word
        if kind == "header":
            name, _, text = value.partition(": ")
            headers[name] = text
        elif kind == "data":
            body = value.encode()
        elif kind == "file":
            assert value == "@monday.csv"
            body = FILE.group(1).replace("    ", "").encode()
        elif kind is None and not word.startswith("-"):
            address = word
    return ("GET" if body is None else "POST"), address, headers, body


@pytest.fixture(scope="module")
def first_hour(tmp_path_factory):
    """A client elsewhere and a key with every scope, as the guide makes it."""
    store = tmp_path_factory.mktemp("guide") / "store"
    save_player(store, Player("q3fk82", "Robin"))
    enter(store, "q3fk82", "shots", shot_rows(40))
    state = ServiceState(store)
    _, key = create_key(state, "diary", SCOPES)
    state.close()
    with client_of(make_app(Settings(store, keys_only=True, import_process=False))) as client:
        yield client.as_(None, address="192.0.2.7"), key


@pytest.mark.parametrize("command", CURLS, ids=lambda c: c[-60:])
def test_every_request_is_answered(first_hour, command):
    client, key = first_hour
    method, address, headers, body = request_of(command, key)
    answer = client.request(method, address, headers=headers, content=body)
    assert answer.status_code in {200, 201, 202}, answer.text
    if address.startswith("/v1/imports"):
        assert answer.json()["state"] == "finished", answer.text


def test_there_are_requests_of_every_kind():
    assert len(CURLS) >= 7
    assert FILE is not None
