"""Every route × every scope × own and foreign: one table, generated from the description.

Anna and Bela coach in the same store. Every operation is asked without a key, with each scope alone
and with all of them, once with the ids of Anna's own things and once with the ids of Bela's.
"""

import json
from pathlib import Path

import pytest

from api import docs_page
from api.access import SCOPES
from api.app import make_app
from api.jobs import create_job, new_job_id
from api.keys import create_key
from api.service_state import ServiceState
from api.settings import Settings
from api.share_links import create_link
from api.webhooks import create_webhook
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from tests.api.client import client_of
from tests.api.conftest import shot_rows

OPERATIONS = [
    operation
    for operation in docs_page.operations(make_app(Settings(Path("nowhere"))).openapi())
    if operation.get("security")
]
OPERATIONS.sort(key=lambda o: (o["method"] == "DELETE", o["path"] == "/v1/players/{player_id}"))
NOT_FOUND = 404


class Things:
    """What one coach has: ids for every path and body."""

    def __init__(self, store: Path, state: ServiceState, coach: str) -> None:
        player_id = f"p{coach}1"
        save_player(store, Player(player_id, coach.title(), coach=coach))
        made = enter(store, player_id, "shots", shot_rows(20))
        record, self.all_scopes = create_key(state, coach, SCOPES, coach=coach)
        other, _ = create_key(state, "other", ["import"], coach=coach)
        caller = record.caller()
        job = create_job(
            state,
            job_id=new_job_id(),
            kind="import",
            player_id=player_id,
            caller=caller,
            request={"name": "a.csv", "options": {}},
        )
        hook, _ = create_webhook(state, caller, "https://app.example/x", ["profile.changed"], 0)
        link, _ = create_link(state, caller, player_id, "profile", 5)
        self.single = {scope: create_key(state, scope, [scope], coach=coach)[1] for scope in SCOPES}
        self.ids = {
            "player_id": player_id,
            "import_id": made.import_id,
            "key_id": other.key_id,
            "job_id": job.job_id,
            "webhook_id": hook.webhook_id,
            "link_id": link.link_id,
        }


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    """A client at another machine, and the things of both coaches."""
    store = tmp_path_factory.mktemp("who") / "store"
    state = ServiceState(store)
    anna, bela = Things(store, state, "anna"), Things(store, state, "bela")
    state.run("UPDATE jobs SET state = 'failed'")
    state.close()
    settings = Settings(
        store, keys_only=True, requests_per_minute=10**6, watch_s=60, import_process=False
    )
    with client_of(make_app(settings)) as client:
        yield client, anna, bela


def asked(operation, things):
    """The operation's example request with the ids of `things`."""
    path, query, headers = operation["path"], {}, {}
    for parameter in operation.get("parameters", []):
        name, value = parameter["name"], parameter["example"]
        if parameter["in"] == "path":
            path = path.replace("{" + name + "}", str(things.ids.get(name, value)))
        elif parameter["in"] == "query" and parameter.get("required"):
            query[name] = things.ids.get(name, value)
    options = {"params": query, "headers": headers}
    content = operation.get("requestBody", {}).get("content", {})
    if "text/csv" in content:
        options |= {"content": b"a,b\n1,2\n"}
        headers["Content-Type"] = "text/csv"
    elif "application/json" in content:
        options["json"] = with_ids(content["application/json"]["example"], things)
    return operation["method"], path, options


def with_ids(body, things):
    """The example body about a player of `things`."""
    changed = dict(body)
    if "player_id" in changed:
        changed["player_id"] = things.ids["player_id"]
    if "players" in changed:
        changed["players"] = [things.ids["player_id"]]
    if changed.get("expires_at") is not None:
        changed["expires_at"] = None
    return changed


def refers(operation) -> bool:
    """Whether the operation names something that belongs to somebody."""
    names = {p["name"] for p in operation.get("parameters", []) if p.get("required")}
    text = json.dumps(operation.get("requestBody", {}))
    body = "NewLink" in text or "NewKey" in text
    return body or bool(
        names & {"player_id", "import_id", "key_id", "job_id", "webhook_id", "link_id"}
    )


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda o: f"{o['method']} {o['path']}")
def test_who_may(table, operation):
    client, anna, bela = table
    needed = set(operation["security"][0]["key"])
    own, foreign = asked(operation, anna), asked(operation, bela)
    nobody = client.as_(None, address="192.0.2.7")
    for method, path, options in (own, foreign):
        assert nobody.request(method, path, **options).status_code == 401
    for scope in SCOPES:
        if needed <= {scope}:
            continue
        caller = client.as_(anna.single[scope], address="192.0.2.7")
        for method, path, options in (own, foreign):
            status = caller.request(method, path, **options).status_code
            assert status in {403, NOT_FOUND}, (scope, path, status)
    app = client.as_(anna.all_scopes, address="192.0.2.7")
    if refers(operation):
        method, path, options = foreign
        assert app.request(method, path, **options).status_code == NOT_FOUND
    method, path, options = own
    answer = app.request(method, path, **options)
    assert answer.status_code < 500
    assert answer.status_code not in {401, 403}
    if answer.status_code == NOT_FOUND:
        assert answer.json()["code"] != "not_found", answer.text
    assert bela.ids["player_id"] not in answer.text
