"""The description of the service (OpenAPI 3.1): problems, keys and examples in every operation."""

from collections.abc import Iterable
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from fastapi.routing import APIRoute

from api.deps import Needs
from api.errors import MEDIA_TYPE
from api.models import ProblemBody

Json = dict[str, Any]  # a JSON document

PROBLEMS = {
    400: "The request cannot be read.",
    401: "No valid key.",
    403: "The key lacks the scope.",
    404: "Nothing there, or not for this key.",
    405: "The path does not take this method; `Allow` names those it takes.",
    413: "Too much was sent.",
    414: "The address is too long.",
    415: "The body is of a kind this operation does not take.",
    422: "The request does not fit its description.",
    429: "Too many requests; `Retry-After` says when to come back.",
    500: "Something went wrong here.",
}


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
        openapi_version="3.1.0",
        routes=app.routes,
        tags=[],
    )
    components = document.setdefault("components", {})
    schemas = components.setdefault("schemas", {})
    schemas.update(_problem_schemas())
    components["securitySchemes"] = {
        "key": {"type": "http", "scheme": "bearer", "description": "A key by `carrybook keys`."}
    }
    for route in app.routes:
        if isinstance(route, APIRoute) and route.include_in_schema:
            for method in route.methods or ():
                operation = document["paths"][route.path_format][method.lower()]
                _complete(operation, _needed(route))
    _drop_framework_errors(schemas)
    return document


def _problem_schemas() -> Json:
    schema = ProblemBody.model_json_schema(ref_template="#/components/schemas/{model}")
    parts: Json = schema.pop("$defs")
    return parts | {"Problem": schema}


def _needed(route: APIRoute) -> list[str]:
    found: Iterable[object] = (depends.dependency for depends in route.dependencies)
    return [needs.scope for needs in found if isinstance(needs, Needs)]


def _complete(operation: Json, needed: list[str]) -> None:
    if needed:
        operation["security"] = [{"key": needed}]
    responses = operation["responses"]
    for status, text in PROBLEMS.items():
        responses[str(status)] = {
            "description": text,
            "content": {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
        }


def _drop_framework_errors(schemas: Json) -> None:
    for name in ("HTTPValidationError", "ValidationError"):
        schemas.pop(name, None)
