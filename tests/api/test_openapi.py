"""The description: every operation has examples that fit, its problems and its scope."""

import html
import json
import re
import shlex
from pathlib import Path
from typing import get_args

import jsonschema
import pytest

from api import docs_page
from api.app import make_app
from api.changes import ChangeType
from api.docs_parts import bodies, curl_of
from api.settings import Settings

DOCUMENT = make_app(Settings(Path("nowhere"))).openapi()
OPERATIONS = docs_page.operations(DOCUMENT)
PUBLIC = {"/healthz", "/readyz", "/v1/shared/{token}"}


def validate(value, schema):
    jsonschema.Draft202012Validator(schema | {"components": DOCUMENT["components"]}).validate(value)


def named(operation):
    return f"{operation['method']} {operation['path']}"


@pytest.mark.parametrize("operation", OPERATIONS, ids=named)
def test_every_example_fits_its_description(operation):
    for parameter in operation.get("parameters", []):
        validate(parameter["example"], parameter["schema"])
    contents = [operation.get("requestBody", {}).get("content", {})]
    contents += [answer.get("content", {}) for answer in operation["responses"].values()]
    for content in contents:
        for media_type, form in content.items():
            if media_type.endswith("json"):
                validate(form["example"], form["schema"])


@pytest.mark.parametrize("operation", OPERATIONS, ids=named)
def test_every_operation_says_what_it_is_who_may_and_what_can_go_wrong(operation):
    assert operation["summary"]
    assert operation["description"]
    assert operation.get("security") or operation["path"] in PUBLIC
    for status in ("400", "401", "403", "404", "405", "413", "415", "422", "429"):
        assert "application/problem+json" in operation["responses"][status]["content"]


def test_every_property_is_described():
    bare = [
        f"{name}.{field}"
        for name, schema in DOCUMENT["components"]["schemas"].items()
        for field, part in schema.get("properties", {}).items()
        if "description" not in part | part.get("anyOf", [{}])[0] and "$ref" not in part
    ]
    assert not bare


def test_the_docs_page_needs_nothing_from_elsewhere(client):
    page = client.get("/docs")
    assert page.status_code == 200
    assert "<script" not in page.text
    assert not re.search(r"(src|href)=\"(https?:)?//", page.text)
    assert "default-src 'none'" in page.headers["content-security-policy"]
    assert all(operation["path"] in page.text for operation in OPERATIONS)
    assert client.get("/docs.css").status_code == 200


def test_operations_have_names_a_generated_client_can_show():
    names = [operation["operationId"] for operation in OPERATIONS]
    assert len(set(names)) == len(names)
    assert {"get_player_profile", "post_import_undo", "get_player_shots"} <= set(names)
    assert all(re.fullmatch(r"[a-z]+(_[a-z]+)+", name) for name in names)


def test_answers_to_what_is_entered_by_hand_say_where_it_stands():
    paths = DOCUMENT["paths"]
    by_hand = [path for path in paths if path.endswith("/edits") or "/pairs/" in path]
    assert len(by_hand) == 5
    for path in by_hand:
        assert "Location" in paths[path]["post"]["responses"]["201"]["headers"]


def test_every_group_of_operations_is_explained_and_shown():
    told = {tag["name"] for tag in DOCUMENT["tags"]}
    assert told == {tag for operation in OPERATIONS for tag in operation["tags"]}


def test_every_kind_of_change_is_described_as_a_message():
    assert set(DOCUMENT["webhooks"]) == set(get_args(ChangeType))
    for item in DOCUMENT["webhooks"].values():
        form = item["post"]["requestBody"]["content"]["application/json"]
        validate(form["example"], form["schema"])


def test_the_docs_page_explains_every_member_and_copies_every_request(client):
    page = client.get("/docs").text
    anchors = re.findall(r'id="([^"]+)"', page)
    assert len(set(anchors)) == len(anchors)
    assert set(re.findall(r'href="#([^"]+)"', page)) <= set(anchors)
    for body in bodies(DOCUMENT):
        assert f'id="body-{body.name}"' in page
        assert all(member.description or member.kind[0].isupper() for member in body.members)
    plain = html.unescape(page)
    assert [one["path"] for one in OPERATIONS if curl_of(one) not in plain] == []
    assert client.get("/v1/openapi.json").json() == client.get("/openapi.json").json()


def test_code_in_descriptions_is_set_as_code_and_nothing_else():
    said = docs_page.coded("take `a` <b> and `<script>`")
    assert said == "take <code>a</code> &lt;b&gt; and <code>&lt;script&gt;</code>"


def test_a_request_to_copy_is_quoted_for_a_shell():
    operation = {
        "method": "PATCH",
        "path": "/v1/players/{player_id}",
        "security": [{"key": []}],
        "parameters": [{"name": "player_id", "in": "path", "example": "a b"}],
        "requestBody": {
            "content": {"application/json": {"example": {"display_name": "O'Neil $x"}}}
        },
    }
    words = shlex.split(curl_of(operation))
    assert words[2:4] == ["-X", "PATCH"]
    assert json.loads(words[words.index("-d") + 1]) == {"display_name": "O'Neil $x"}
    assert words[-1] == "$BOOK/v1/players/a%20b"


def test_every_code_a_problem_may_carry_is_explained():
    codes = set()
    for path in (p for p in Path("api").rglob("*.py") if not p.name.startswith("page")):
        codes |= set(re.findall(r"Problem\(\s*\d{3},\s*\"(\w+)\"", path.read_text("utf-8")))
    assert codes <= set(docs_page.problem_codes())
