"""The description of the service (OpenAPI 3.1): problems, keys and examples in every operation."""

from http import HTTPStatus
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from fastapi.routing import APIRoute

from api.answering import CachedRoute
from api.deps import Needs
from api.errors import MEDIA_TYPE
from api.models import ProblemBody
from api.openapi_examples import add_examples
from api.openapi_headers import HEADERS, add_headers, operation_name
from api.openapi_webhooks import webhook_schemas, webhooks

Json = dict[str, Any]  # a JSON document

DESCRIPTION = """\
Every number about a player comes with its unit, interval, counts and state: `clear`, `leaning` or
`too_early`. Units are SI and stand in the name of a field; instants are UTC (RFC 3339).

Errors are problem documents (RFC 9457) with a stable `code` and a `mend`. Answers about a player
carry a strong `ETag`: send it back in `If-None-Match`. Lists go on at the `Link` header's `next`.
Writes may carry an `Idempotency-Key`. `RateLimit` tells what is left of the minute.

Send the key in every request: `Authorization: Bearer cb_…` (made by `carrybook keys create`). A
query parameter that an operation does not take is refused (422), a misspelt one too. Members may be
added to answers at any time: pass over those you do not know.
"""

TAGS = {
    "players": "Who there is.",
    "profile": "The whole player in one answer: begin here.",
    "carry-curves": "Carry against speed, and the speed for a carry.",
    "carry-ladder": "Carry per club and swing length, gaps, the next ball to hit.",
    "carry-card": "The card to print.",
    "brackets": "Rehearsals around the landing window.",
    "tempo": "Tempo of swings and rehearsals.",
    "landing": "Where balls land against window and gate.",
    "leaves": "Where they finish; marks from the green.",
    "roll-ratios": "Run over carry.",
    "since-fitting": "Before and after a fitting.",
    "findings": "The rows behind a number.",
    "plans": "A plan for one chip.",
    "tests": "The rules of scored tests.",
    "test-scores": "Sittings of scored tests.",
    "homework": "Practice until next time.",
    "lesson-sheet": "The sheet to print.",
    "sessions": "Days of practice and their conditions.",
    "rows": "Every ball and swing, for other tools.",
    "imports": "Send exports, follow them, answer what they leave open, take them back.",
    "pairs": "Which swing struck which ball.",
    "edits": "Corrections of rows.",
    "changes": "What changed since you last asked.",
    "webhooks": "Be told of changes.",
    "keys": "Keys of apps.",
    "share links": "A report without a key, for a time.",
    "reads": "Who read what.",
    "health": "Is the service there.",
}
"""The groups of operations, in the order a newcomer needs them."""

PROBLEMS = {
    400: "The request cannot be read.",
    401: "No valid key.",
    403: "The key lacks the scope.",
    404: "Nothing there, or not for this key.",
    405: "The path does not take this method; `Allow` names those it takes.",
    406: "None of the forms asked for is offered.",
    408: "The body did not arrive in time.",
    409: "This does not go with what is there.",
    413: "Too much was sent.",
    414: "The address is too long.",
    431: "The head of the request is too large.",
    415: "The body is of a kind this operation does not take.",
    422: "The request does not fit its description.",
    429: "Too many requests; `Retry-After` says when to come back.",
    500: "Something went wrong here.",
    503: "The store cannot be used right now.",
}
REPEATABLE = {
    "name": "Idempotency-Key",
    "in": "header",
    "required": False,
    "description": "The same key and request again get the first reply once more, for a day.",
    "schema": {"type": "string", "minLength": 1, "maxLength": 200, "pattern": "^[ -~]+$"},
    "example": "0e9f8a52-6f5c-4d0c-8f0b-3d1c6b1f7a11",
}
SOME = {"event_id", "struck_at_utc", "swung_at_utc", "club", "carry_m", "backswing_s"}
PARTS = "\n\n`fields=` with names of members, comma-separated, answers those members only."
NOT_MODIFIED = {"description": "Nothing changed since the answer with the ETag sent along."}


def install(app: FastAPI) -> None:
    """Give `app` its description, made once."""

    def described() -> Json:
        if app.openapi_schema is None:
            app.openapi_schema = describe(app)
        return app.openapi_schema

    app.openapi = described  # type: ignore[method-assign]  # the framework's documented way


def describe(app: FastAPI) -> Json:
    """The whole description as a JSON document."""
    document: Json = get_openapi(
        title=app.title,
        version=app.version,
        summary=app.summary,
        description=DESCRIPTION,
        openapi_version="3.1.0",
        routes=app.routes,
        license_info={"name": "Apache-2.0", "identifier": "Apache-2.0"},
        servers=[{"url": "/"}],
        tags=[{"name": name, "description": text} for name, text in TAGS.items()],
    )
    components = document.setdefault("components", {})
    schemas = components.setdefault("schemas", {})
    for name in ("HTTPValidationError", "ValidationError"):
        schemas.pop(name, None)
    schemas.update(_problem_schemas() | webhook_schemas())
    components["headers"] = HEADERS
    document["webhooks"] = webhooks()
    components["securitySchemes"] = {
        "key": {"type": "http", "scheme": "bearer", "description": "A key by `carrybook keys`."}
    }
    for route in app.routes:
        if isinstance(route, APIRoute) and route.include_in_schema:
            for method in route.methods or ():
                operation = document["paths"][route.path_format][method.lower()]
                operation["operationId"] = operation_name(method, route.path_format)
                _complete(operation, method, _needed(route))
                if isinstance(route, CachedRoute) and _json(operation):
                    operation["description"] += PARTS
                _name_fields(operation)
                add_examples(operation, schemas)
                add_headers(operation, method, route.path_format)
    return document


def _json(operation: Json) -> bool:
    return "application/json" in operation["responses"].get("200", {}).get("content", {})


def _problem_schemas() -> Json:
    schema = ProblemBody.model_json_schema(ref_template="#/components/schemas/{model}")
    parts: Json = schema.pop("$defs")
    return parts | {"Problem": schema}


def _needed(route: APIRoute) -> list[str]:
    found = [depends.dependency for depends in route.dependencies]
    return [needs.scope for needs in found if isinstance(needs, Needs)]


def _complete(operation: Json, method: str, needed: list[str]) -> None:
    if needed:
        operation["security"] = [{"key": needed}]
        operation["description"] += f"\n\nNeeds the scope `{'` and `'.join(needed)}`."
    if method == "POST":
        operation.setdefault("parameters", []).append(REPEATABLE)
    responses = operation["responses"]
    for status, text in PROBLEMS.items():
        responses[str(status)] = _problem_response(status, text)
    if method == "GET":
        responses.setdefault("304", NOT_MODIFIED)
    if any(parameter["name"] == "if-match" for parameter in operation.get("parameters", [])):
        responses["412"] = _problem_response(412, "Changed since the ETag of `If-Match` was given.")


def _name_fields(operation: Json) -> None:
    """Say which columns `fields=` may name."""
    for parameter in operation.get("parameters", []):
        if parameter["name"] == "fields":
            answer = operation["responses"]["200"]["content"]["application/json"]["schema"]
            names = list(answer["properties"]["items"]["items"]["properties"])
            one = "|".join(names)
            parameter["schema"] = {"type": "string", "pattern": f"^({one})(,({one}))*$"}
            parameter["example"] = ",".join(name for name in names if name in SOME)


def _problem_response(status: int, text: str) -> Json:
    title = HTTPStatus(status).phrase
    example = {
        "type": "/docs#problems",
        "title": title,
        "status": status,
        "code": title.lower().replace(" ", "_"),
        "detail": text,
        "mend": "What to do about it.",
    }
    schema = {"$ref": "#/components/schemas/Problem"}
    return {"description": text, "content": {MEDIA_TYPE: {"schema": schema, "example": example}}}
