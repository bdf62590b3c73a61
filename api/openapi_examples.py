"""An example of every body and parameter, put together from the examples of its fields."""

from typing import Any

Json = dict[str, Any]  # a JSON document

PLAIN: dict[str, object] = {
    "string": "text",
    "integer": 1,
    "number": 1.0,
    "boolean": True,
    "null": None,
}


def example_of(schema: Json, components: Json) -> object:
    """A value that fits `schema`; its own example first, its parts' examples otherwise."""
    if "$ref" in schema:
        return example_of(components[schema["$ref"].rpartition("/")[2]], components)
    for key in ("examples", "enum"):
        if schema.get(key):
            return schema[key][0]
    for key in ("example", "const", "default"):
        if key in schema:
            return schema[key]
    return _composed(schema, components)


def _composed(schema: Json, components: Json) -> object:
    for key in ("allOf", "anyOf", "oneOf"):
        if key in schema:
            parts = [part for part in schema[key] if part.get("type") != "null"]
            return example_of(parts[0] if parts else {"type": "null"}, components)
    if schema.get("type") == "array" or "items" in schema:
        return [example_of(schema.get("items", {}), components)]
    if "properties" in schema:
        return {name: example_of(part, components) for name, part in schema["properties"].items()}
    if schema.get("type") == "object":
        inner = schema.get("additionalProperties")
        return {"key": example_of(inner, components)} if isinstance(inner, dict) else {}
    kind = schema.get("type", "string")
    return PLAIN[kind[0] if isinstance(kind, list) else kind]


def add_examples(operation: Json, components: Json) -> None:
    """Give an operation's parameters, request body and successful answers their examples."""
    for parameter in operation.get("parameters", []):
        if "example" not in parameter:
            parameter["example"] = example_of(parameter["schema"], components)
    contents = [operation.get("requestBody", {}).get("content", {})]
    contents += [
        answer.get("content", {})
        for status, answer in operation["responses"].items()
        if status.startswith("2")
    ]
    for content in contents:
        for media_type, form in content.items():
            if media_type == "application/json" and not form.keys() & {"example", "examples"}:
                form["example"] = example_of(form.get("schema", {}), components)
