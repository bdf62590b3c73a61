"""The description as version 1 promised it, and whether a newer one still keeps the promise.

    python -m tests.api.contract.description        writes the promise anew: only after adding

A newer description may add operations, optional parameters, members of answers. It may not take
away or change the type of what is there, or ask for more.
"""

import json
from pathlib import Path
from typing import Any

from api.app import make_app
from api.settings import Settings

PROMISE = Path(__file__).with_name("openapi_v1.json")
KEPT = {"type", "$ref", "enum", "const", "anyOf", "items", "properties", "required", "format"}
Json = dict[str, Any]


def current() -> Json:
    """The promise that the present description makes."""
    document = make_app(Settings(Path("nowhere"))).openapi()
    paths = {
        path: {method: _operation(operation) for method, operation in item.items()}
        for path, item in document["paths"].items()
    }
    schemas = {name: _bare(schema) for name, schema in document["components"]["schemas"].items()}
    return {"paths": paths, "schemas": schemas}


def _operation(operation: Json) -> Json:
    body = operation.get("requestBody", {}).get("content", {})
    success = {
        status: {media: _bare(form.get("schema", {})) for media, form in answer["content"].items()}
        for status, answer in operation["responses"].items()
        if status.startswith("2") and "content" in answer
    }
    parameters = {
        f"{p['in']} {p['name']}": {"required": p.get("required", False), **_bare(p["schema"])}
        for p in operation.get("parameters", [])
    }
    return {
        "parameters": parameters,
        "body": {media: _bare(form.get("schema", {})) for media, form in body.items()},
        "success": success,
    }


def _bare(schema: Any) -> Any:
    """A schema without words and examples."""
    if isinstance(schema, list):
        return [_bare(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    bare = {}
    for name, part in schema.items():
        if name == "properties":
            bare[name] = {field: _bare(inner) for field, inner in part.items()}
        elif name in KEPT:
            bare[name] = _bare(part)
    return bare


def broken(old: Json, new: Json) -> list[str]:
    """Every promise of `old` that `new` does not keep, in words."""
    found: list[str] = []
    asked = _asked_schemas(old)
    for path, item in old["paths"].items():
        for method, operation in item.items():
            place = f"{method.upper()} {path}"
            newer = new["paths"].get(path, {}).get(method)
            if newer is None:
                found.append(f"{place} is gone")
            else:
                found += [f"{place}: {text}" for text in _operation_broken(operation, newer)]
    for name, schema in old["schemas"].items():
        newer = new["schemas"].get(name)
        if newer is None:
            found.append(f"schema {name} is gone")
        else:
            found += [f"{name}{text}" for text in _schema_broken(schema, newer, name in asked)]
    return found


def _asked_schemas(document: Json) -> set[str]:
    """Names of the schemas that requests are made of."""
    bodies = [op["body"] for item in document["paths"].values() for op in item.values()]
    return {name for name in document["schemas"] if f'schemas/{name}"' in json.dumps(bodies)}


def _operation_broken(old: Json, new: Json) -> list[str]:
    found = []
    for name, parameter in old["parameters"].items():
        if name not in new["parameters"]:
            found.append(f"parameter {name} is gone")
        elif new["parameters"][name]["required"] and not parameter["required"]:
            found.append(f"parameter {name} is now needed")
    for name, parameter in new["parameters"].items():
        if name not in old["parameters"] and parameter["required"]:
            found.append(f"new parameter {name} is needed")
    for status, forms in old["success"].items():
        missing = set(forms) - set(new["success"].get(status, {}))
        found += [f"{status} {media} is gone" for media in sorted(missing)]
    return found


def _schema_broken(old: Json, new: Json, asked: bool, place: str = "") -> list[str]:
    found = []
    for key in ("type", "$ref", "format", "const"):
        if old.get(key) != new.get(key):
            found.append(f"{place}: {key} was {old.get(key)}, is {new.get(key)}")
    wider, narrower = (new, old) if asked else (old, new)
    opened = asked and "enum" not in new  # any value of the type may be sent
    if (
        "enum" in old
        and not opened
        and not set(narrower.get("enum", ())) <= set(wider.get("enum", ()))
    ):
        found.append(f"{place}: other values than before")
    more, fewer = (new, old) if asked else (old, new)
    needed = set(more.get("required", ())) - set(fewer.get("required", ()))
    if needed:
        verb = "are now needed" if asked else "are no longer sure"
        found.append(f"{place}: {', '.join(sorted(needed))} {verb}")
    for name, part in old.get("properties", {}).items():
        newer = new.get("properties", {}).get(name)
        if newer is None:
            found.append(f"{place}.{name} is gone")
        else:
            found += _schema_broken(part, newer, asked, f"{place}.{name}")
    if "items" in old:
        found += _schema_broken(old["items"], new.get("items", {}), asked, f"{place}[]")
    return found


if __name__ == "__main__":
    PROMISE.write_text(json.dumps(current(), separators=(",", ":"), sort_keys=True) + "\n")
