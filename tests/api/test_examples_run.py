"""Every example of the description, sent to a service over the demo, is answered as described.

What is made by one example (a key, a link, a webhook, a job, a piece of homework) lends its id to
the examples that need one; every other value is sent as it stands in the description.
"""

import json
from pathlib import Path

import jsonschema
import pytest

from api import docs_page
from api.access import SCOPES
from api.app import make_app
from api.demo_book import build_demo
from api.keys import create_key
from api.service_state import ServiceState
from api.settings import Settings
from tests.api.client import client_of

DOCUMENT = make_app(Settings(Path("nowhere"))).openapi()
MADE_BY = {
    "job_id": ("POST", "/v1/imports"),
    "key_id": ("POST", "/v1/keys"),
    "link_id": ("POST", "/v1/share-links"),
    "webhook_id": ("POST", "/v1/webhooks"),
    "homework_id": ("POST", "/v1/players/{player_id}/homework"),
    "token": ("POST", "/v1/share-links"),
}
WAITS = {"prefer": "wait=30"}
LAST = ("POST /v1/imports/{import_id}/undo", "POST /v1/imports/{import_id}/redo")


def order(operation):
    """Reads first, then what makes things, what takes away last, players at the very end."""
    method, path = operation["method"], operation["path"]
    depth = path.count("{")
    return (
        method == "DELETE",
        f"{method} {path}" in LAST and LAST.index(f"{method} {path}") + 1,
        method == "DELETE" and path.endswith("/{player_id}"),
        any(f"{{{name}}}" in path for name in MADE_BY),
        method != "GET",
        depth,
    )


OPERATIONS = sorted(docs_page.operations(DOCUMENT), key=order)


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    """A client elsewhere with every scope, over the demo, and the ids its examples made."""
    store = tmp_path_factory.mktemp("examples") / "store"
    build_demo(store)
    state = ServiceState(store)
    _, key = create_key(state, "examples", SCOPES)
    state.close()
    settings = Settings(store, keys_only=True, import_process=False, requests_per_minute=10**6)
    with client_of(make_app(settings)) as client:
        yield client.as_(key, address="192.0.2.7"), {}


def asking(client):
    """An import that leaves the question which the example of an answer answers."""
    lines = "Shot,Local time,Club,Carry\n1,2026-05-06 17:30:00,SW,24\n2,2026-05-06 17:31:00,SW,22\n"
    sent = client.post(
        "/v1/imports?player_id=q3fk82&name=asking.csv",
        content=lines,
        headers=WAITS | {"Content-Type": "text/csv"},
    )
    return sent.json()["import_id"]


def request_of(operation, made):
    """Method, address and the rest of the operation's own example."""
    path, query, headers = operation["path"], {}, {}
    for parameter in operation.get("parameters", []):
        name, value = parameter["name"], parameter["example"]
        if parameter["in"] == "path":
            path = path.replace("{" + name + "}", str(made.get(name, value)))
        elif name == "as_of":
            continue  # the demo came in just now: at the example's instant the book was empty
        elif parameter["in"] == "query":
            query[name] = str(value).lower() if isinstance(value, bool) else value
        else:
            headers[name] = value
    content = operation.get("requestBody", {}).get("content", {})
    options = {"params": query, "headers": headers}
    if "text/csv" in content:
        headers["Content-Type"] = "text/csv"
        options["content"] = content["text/csv"]["example"].encode()
    elif "application/json" in content:
        options["json"] = content["application/json"]["example"]
    headers["Idempotency-Key"] = f"example of {operation['method']} {operation['path']}"
    if "prefer" in headers:
        headers |= WAITS
    return operation["method"], path, options


def note(client, made, operation, body):
    """Remember the ids that an example made."""
    if operation["path"] == "/v1/players/{player_id}/homework" and operation["method"] == "POST":
        body = client.get("/v1/players/q3fk82/homework").json()["homework"][0]
    for name, (method, path) in MADE_BY.items():
        if (operation["method"], operation["path"]) == (method, path):
            whole = body.get("address", "").rpartition("/")[2] if name == "token" else ""
            made[name] = whole or body.get(name) or made.get(name)


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda o: f"{o['method']} {o['path']}")
def test_every_example_is_answered_as_it_says(app, operation):
    client, made = app
    if operation["path"].endswith("/answers"):
        made = made | {"import_id": asking(client)}
    method, path, options = request_of(operation, made)
    answer = client.request(method, path, **options)
    assert answer.status_code in {200, 201, 202, 204}, answer.text[:600]
    described = operation["responses"][str(answer.status_code)]
    for name in described["headers"].keys() - {"Link"}:  # only a full page leads on
        assert name in answer.headers, name
    if answer.content and answer.headers["content-type"] == "application/json":
        schema = described["content"]["application/json"]["schema"]
        whole = schema | {"components": DOCUMENT["components"]}
        jsonschema.Draft202012Validator(whole).validate(answer.json())
        note(client, made, operation, answer.json())
        if "state" in answer.json() and "job_id" in answer.json():
            assert answer.json()["state"] == "finished", answer.text


def test_the_players_of_the_examples_are_in_the_demo():
    assert json.dumps(DOCUMENT).count("q3fk82") > 100
