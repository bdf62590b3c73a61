"""The description: every operation has examples that fit, its problems and its scope."""

import re
from pathlib import Path

import jsonschema
import pytest

from api import docs_page
from api.app import make_app
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


def test_every_code_a_problem_may_carry_is_explained():
    codes = set()
    for path in (p for p in Path("api").rglob("*.py") if not p.name.startswith("page")):
        codes |= set(re.findall(r"Problem\(\s*\d{3},\s*\"(\w+)\"", path.read_text("utf-8")))
    assert codes <= set(docs_page.problem_codes())
