"""What the description says of the headers of answers, and the short names of its operations."""

import re
from typing import Any

Json = dict[str, Any]  # a JSON document


def _header(description: str, example: str) -> Json:
    return {"description": description, "schema": {"type": "string"}, "example": example}


HEADERS = {
    "Allow": _header("Methods the path takes.", "GET, HEAD, OPTIONS"),
    "ETag": _header(
        "Strong tag of this answer: send it back in `If-None-Match`.", '"89b6923f27ce2c0a"'
    ),
    "Link": _header(
        'The next page as `<address>; rel="next"`, relative to the host; none on the last page.',
        '</v1/players?after=h7wd41&limit=2>; rel="next"',
    ),
    "Location": _header("Where to look for what was made.", "/v1/jobs/jcfdc4c8adcdb574cbecf94a2"),
    "RateLimit": _header(
        "Requests left (`r`) and seconds until there are more (`t`).", '"minute";r=1199;t=59'
    ),
    "Retry-After": _header("Seconds to wait before asking again.", "12"),
    "WWW-Authenticate": _header("How to say who asks.", 'Bearer realm="carrybook"'),
    "X-Request-Id": _header("Names this request in the service's log.", "0d37c439df2e472470b5"),
}
BY_STATUS = {
    "401": ["WWW-Authenticate"],
    "405": ["Allow"],
    "429": ["Retry-After"],
    "503": ["Retry-After"],
}


def add_headers(operation: Json, method: str, path: str) -> None:
    """Say which headers each answer of an operation may carry."""
    paged = {"after", "since"} & {one["name"] for one in operation.get("parameters", [])}
    for status, answer in operation["responses"].items():
        names = ["X-Request-Id", *BY_STATUS.get(status, [])]
        if status in {"200", "304"} and method == "GET" and path.startswith("/v1/"):
            names += ["ETag", *(["Link"] if paged else [])]
        if status in {"201", "202"} and _says_where(path):
            names.append("Location")
        if status.startswith("2") or status == "429":
            names.append("RateLimit")
        answer["headers"] = {
            name: {"$ref": f"#/components/headers/{name}"} for name in sorted(names)
        }


def _says_where(path: str) -> bool:
    """Whether what is made there has an address of its own."""
    named = path.endswith(("/answers", "/edits", "/versions")) or "/pairs/" in path
    return "{" not in path or named


def operation_name(method: str, path: str) -> str:
    """A name for generated clients: `get_players`, `get_player_profile`, `post_import_undo`."""
    words: list[str] = []
    for part in path.removeprefix("/v1").strip("/").split("/"):
        if part.startswith("{"):
            words[-1] = words[-1].removesuffix("s")
        else:
            words.append(re.sub(r"[^a-z0-9]+", "_", part))
    return "_".join([method.lower(), *words])
