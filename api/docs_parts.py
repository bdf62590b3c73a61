"""Parts of the page of documentation: a request to copy, and every member of every body."""

import json
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, urlencode

Json = dict[str, Any]  # a JSON document

LISTED = 12
"""So many words of an enumeration are written out; a longer one is said in its description."""


@dataclass(frozen=True)
class Member:
    """One member of a body, in words."""

    name: str
    kind: str
    needed: bool
    description: str


@dataclass(frozen=True)
class BodyTold:
    """One body and its members."""

    name: str
    description: str
    members: tuple[Member, ...]


def curl_of(operation: Json) -> str:
    """The operation's own example as a `curl` command, `$BOOK` and `$KEY` left to the reader."""
    words = ["curl -s"]
    if operation["method"] not in {"GET", "POST"}:
        words.append(f"-X {operation['method']}")
    if operation.get("security"):
        words.append('-H "Authorization: Bearer $KEY"')
    content = operation.get("requestBody", {}).get("content", {})
    if "text/csv" in content:
        words.append("-H 'Content-Type: text/csv' --data-binary @monday.csv")
    elif content:
        body = json.dumps(content["application/json"]["example"], ensure_ascii=False)
        said = body.replace("'", "'\\''")
        words.append(f"-H 'Content-Type: application/json' -d '{said}'")
    elif operation["method"] == "POST":
        words.append("-X POST")
    return " ".join([*words, f'"$BOOK{_address(operation)}"'])


def _address(operation: Json) -> str:
    path, query = operation["path"], {}
    for parameter in operation.get("parameters", []):
        if parameter["in"] == "path":
            value = quote(str(parameter["example"]), safe="@:")
            path = path.replace("{" + parameter["name"] + "}", value)
        elif parameter["in"] == "query" and parameter.get("required"):
            query[parameter["name"]] = parameter["example"]
    return f"{path}?{urlencode(query)}" if query else str(path)


def body_of(form: Json) -> str:
    """Name of the body a form holds; empty when it has none of its own."""
    return str(form.get("schema", {}).get("$ref", "")).rpartition("/")[2]


def bodies(document: Json) -> list[BodyTold]:
    """Every body with members, by name; then the rows of each table."""
    schemas = document["components"]["schemas"]
    told = [_told(name, schema) for name, schema in sorted(schemas.items())]
    for item in document["paths"].values():
        form = item.get("get", {}).get("responses", {}).get("200", {}).get("content", {})
        schema = form.get("application/json", {}).get("schema", {})
        if "properties" in schema and "tags" in item["get"] and "rows" in item["get"]["tags"]:
            row = schema["properties"]["items"]["items"]
            told.append(_told(f"{item['get']['operationId']}_row", row))
    return [one for one in told if one.members]


def _told(name: str, schema: Json) -> BodyTold:
    needed = schema.get("required", [])
    members = tuple(
        Member(member, kind_of(part), member in needed, _words(part))
        for member, part in schema.get("properties", {}).items()
    )
    return BodyTold(name, schema.get("description", ""), members)


def _words(part: Json) -> str:
    inner: Json = next((one for one in part.get("anyOf", []) if "description" in one), {})
    return str(part.get("description") or inner.get("description", ""))


def kind_of(schema: Json) -> str:
    """What a schema takes, in a few words."""
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2]
    for key in ("anyOf", "oneOf", "allOf"):
        if key in schema:
            return " or ".join(dict.fromkeys(kind_of(part) for part in schema[key]))
    if "const" in schema:
        return json.dumps(schema["const"])
    if "enum" in schema and len(schema["enum"]) <= LISTED:
        return " · ".join(str(one) for one in schema["enum"])
    kind = schema.get("type", "object")
    kinds = kind if isinstance(kind, list) else [kind]
    said = " or ".join(
        f"list of {kind_of(schema.get('items', {}))}" if one == "array" else one for one in kinds
    )
    return f"{said} ({schema['format']})" if "format" in schema else said
