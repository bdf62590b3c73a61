"""The description of the service as one page for people: no script, nothing from elsewhere."""

import json
import re
from functools import cache
from importlib import resources
from typing import Any

from fastapi import FastAPI
from jinja2 import Environment, PackageLoader, select_autoescape
from markupsafe import Markup, escape
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from analytics.errors import AnalyticsError
from api.conditional import conditional
from api.docs_parts import bodies, body_of, curl_of
from ingest.errors import IngestError

Json = dict[str, Any]  # a JSON document

POLICY = "default-src 'none'; style-src 'self'; base-uri 'none'; frame-ancestors 'none'"
MINUTES = {"Cache-Control": "private, max-age=300", "Content-Security-Policy": POLICY}

BETWEEN = re.compile(r"`([^`]+)`")

OWN_CODES = {
    "no_valid_key": "no key, or one that is unknown, expired or revoked",
    "scope_missing": "the key does not hold a scope this needs",
    "limited_to_names": "the key is limited to named players",
    "consent_missing": "a junior's guardian has not agreed",
    "not_found": "nothing there, or not for this key",
    "no_such_row": "a session, shot, swing or role that the player does not have",
    "bad_json": "the body is not JSON",
    "does_not_fit": "the request does not fit its description",
    "unknown_field": "no such field or column",
    "unknown_parameter": "a query parameter this operation does not take",
    "parameter_repeated": "a query parameter is given more than once",
    "unknown_scope": "no such scope",
    "not_acceptable": "none of the forms asked for is offered",
    "head_too_large": "the head of the request is too large",
    "header_repeated": "a header that has one meaning is there twice",
    "two_lengths": "the body of the request has two lengths",
    "unsupported_coding": "the body is compressed",
    "too_many_connections": "everybody who may be connected at once is being answered",
    "no_http_request": "what was sent is no HTTP request",
    "address_too_long": "path and query are too long",
    "too_large": "the body is too large",
    "too_many_requests": "the allowance for the minute is used up",
    "cross_site": "another site's page tried to write",
    "bad_idempotency_key": "the Idempotency-Key cannot be used",
    "key_used_otherwise": "the Idempotency-Key came with another request",
    "reply_not_kept": "the first reply is not there to be repeated",
    "bad_webhook_url": "a webhook may not lead there",
    "unsupported_media_type": "the body is of a kind this operation does not take",
    "too_many_jobs": "too many jobs of this key are waiting",
    "upload_damaged": "the bytes kept for a job are not those that were sent",
    "changed_meanwhile": "the resource is not any more what If-Match says",
    "worker_failed": "the worker could not finish taking a file in",
    "value_missing": "this correction needs a value",
    "own_key": "a key does not revoke itself",
    "erased_meanwhile": "the player was erased meanwhile",
    "store_missing": "the store is not there",
    "state_not_writable": "the service's own file cannot be written",
    "unexpected": "something went wrong here",
}


def problem_codes() -> dict[str, str]:
    """Every stable code and what it means."""
    kinds = [*_below(IngestError), *_below(AnalyticsError)]
    told = {kind.code: (kind.__doc__ or "").split("\n")[0].rstrip(".") for kind in kinds}
    return dict(sorted((OWN_CODES | told).items()))


def _below(
    kind: type[IngestError] | type[AnalyticsError],
) -> list[type[IngestError] | type[AnalyticsError]]:
    return [kind, *(deep for below in kind.__subclasses__() for deep in _below(below))]


@cache
def _templates() -> Environment:
    made = Environment(loader=PackageLoader("api"), autoescape=select_autoescape())
    made.filters["coded"] = coded
    return made


def coded(text: str) -> Markup:
    """A description with what stands between backticks set as code."""
    return Markup(BETWEEN.sub(r"<code>\1</code>", str(escape(text))))


def operations(document: Json) -> list[Json]:
    """Every operation with its method and path, in the order of the document."""
    return [
        {"method": method.upper(), "path": path, **operation}
        for path, item in document["paths"].items()
        for method, operation in item.items()
    ]


def render(document: Json) -> str:
    """The page."""
    template = _templates().get_template("api_docs.html")
    found = operations(document)
    return template.render(
        document=document,
        groups=[
            (tag, [one for one in found if tag["name"] in one["tags"]]) for tag in document["tags"]
        ],
        curl_of=curl_of,
        bodies=bodies(document),
        body_of=body_of,
        codes=problem_codes(),
    )


def mount(app: FastAPI) -> None:
    """Serve the page at /docs and its style beside it."""
    style = resources.files("api").joinpath("static/api_docs.css").read_text("utf-8")

    async def page(_: Request) -> Response:
        return HTMLResponse(render(app.openapi()), headers=MINUTES)

    @cache
    def encoded() -> bytes:
        return json.dumps(app.openapi(), separators=(",", ":"), ensure_ascii=False).encode()

    async def description(request: Request) -> Response:
        return conditional(request, Response(encoded(), media_type="application/json"))

    async def css(_: Request) -> Response:
        return Response(style, headers=MINUTES, media_type="text/css")

    for path in ("/openapi.json", "/v1/openapi.json"):
        app.router.routes.append(Route(path, description, include_in_schema=False))
    app.router.routes.append(Route("/docs", page, include_in_schema=False))
    app.router.routes.append(Route("/docs.css", css, include_in_schema=False))
