"""schemathesis over the whole description: every check on, stateful, with two coaches' keys.

Two users (peers) own players, keys, links and webhooks that must not exist for the other. The same
run is made once more against a service with a planted hole, which must be caught. The case count is
bounded, not the time, so that the three seeds are the same work everywhere. Two questions may be
refused by rules that no description can state; `contract/refusals.py` sees to it that they are
refused for nothing else.
"""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from api.access import Caller
from api.app import make_app
from api.keys import create_key
from api.service_state import ServiceState
from api.settings import Settings
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from tests.api.conftest import shot_rows
from tests.api.live_server import serving

pytestmark = pytest.mark.slow

COACHES = ("anna", "bela")
SCOPES = ("read:profiles", "read:rows", "import", "manage")
CONFIG = """
hooks = "{hooks}"

[auth.wfc]
path = "{users}"
peers = ["anna", "bela"]

[generation]
database = "none"

[phases.fuzzing.generation]
max-examples = 8

[phases.stateful.generation]
max-examples = 20

[[operations]]
include-path = [
    "/v1/players/{{player_id}}/shot-plan",
    "/v1/players/{{player_id}}/carry-curves/{{club}}/speed-for",
]
checks.positive_data_acceptance.expected-statuses = [
    "2xx", "3xx", 401, 403, 404, 409, 422, 429, "5xx"
]

[[operations]]
include-path = ["/v1/players/{{player_id}}"]
checks.positive_data_acceptance.expected-statuses = [
    "2xx", "3xx", 401, 403, 404, 409, 412, 429, "5xx"
]
"""
REFUSALS = Path(__file__).with_name("contract") / "refusals.py"
EVERY = "examples,coverage,fuzzing,stateful"


def two_coaches(store: Path) -> dict[str, str]:
    """Two coaches, each with two players and rows of one; returns the key of each."""
    for coach in COACHES:
        for number in (1, 2):
            player_id = f"p{coach}{number}"
            save_player(store, Player(player_id, coach.title(), coach=coach))
        enter(store, f"p{coach}1", "shots", shot_rows(30))
    state = ServiceState(store)
    keys = {coach: create_key(state, coach, SCOPES, coach=coach)[1] for coach in COACHES}
    state.close()
    return keys


def fuzz(
    folder: Path, address: str, keys: dict[str, str], seed: int, *options: str, phases: str = EVERY
):
    """One run of schemathesis; returns the finished process."""
    headers = {
        coach: [{"name": "Authorization", "value": f"Bearer {key}"}] for coach, key in keys.items()
    }
    users = {"auth": [{"name": name, "fixedHeaders": value} for name, value in headers.items()]}
    (folder / "users.json").write_text(json.dumps(users))
    (folder / "schemathesis.toml").write_text(
        CONFIG.format(users=folder / "users.json", hooks=REFUSALS)
    )
    command = [
        *(sys.executable, "-m", "schemathesis.cli"),
        *("--config-file", str(folder / "schemathesis.toml")),
        *("run", f"{address}/openapi.json"),
        *("--checks", "all", "--phases", phases),
        *("--seed", str(seed), "--no-color", "--no-shrink"),
        *("--workers", "1", "--warnings", "off"),
        *options,
    ]
    return subprocess.run(
        command, capture_output=True, text=True, timeout=900, cwd=folder, check=False
    )


def settings_of(store: Path) -> Settings:
    return Settings(
        store, keys_only=True, requests_per_minute=10_000_000, watch_s=5, slow_client_s=5
    )


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_no_request_breaks_the_description_or_crosses_coaches(tmp_path, seed):
    store = tmp_path / "store"
    keys = two_coaches(store)
    with serving(make_app(settings_of(store))) as address:
        run = fuzz(tmp_path, address, keys, seed)
    assert run.returncode == 0, run.stdout[-30000:] + run.stderr[-2000:]


FIRST_FOUND = ("--include-path-regex", "^/v1/players", "--max-failures", "1")


def test_a_planted_ownership_hole_is_caught(tmp_path, monkeypatch):
    store = tmp_path / "store"
    keys = two_coaches(store)
    monkeypatch.setattr(Caller, "sees", lambda self, card: True)
    with serving(make_app(settings_of(store))) as address:
        run = fuzz(tmp_path, address, keys, 2, *FIRST_FOUND, phases="fuzzing,stateful")
    assert run.returncode == 1
    assert "received the" in run.stdout
