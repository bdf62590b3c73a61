"""How a reader reads, who a reader is, and what the browser reports: settings, signing in, more."""

import logging
from dataclasses import replace
from typing import Annotated
from zoneinfo import available_timezones

from fastapi import Query, Request
from starlette.responses import RedirectResponse, Response

from api.page_frame import (
    NOBODY,
    Reader,
    ReaderOf,
    page_router,
    view_of_request,
)
from api.page_session import KEY_COOKIE, set_cookie
from api.page_view import COOKIE, LENGTHS, SPEEDS, View, checked
from api.service import service_of
from api.text_catalogue import languages

logger = logging.getLogger(__name__)
router = page_router()
REPORT_LIMIT_BYTES = 4000


@router.get("/more")
async def more(reader: ReaderOf) -> Response:
    """What is not needed every day."""
    return reader.page("more.html", "more")


@router.get("/settings")
async def settings(reader: ReaderOf, saved: bool = False) -> Response:
    """Language, units and zone of this browser."""
    zones = sorted(zone for zone in available_timezones() if "/" in zone or zone == "UTC")
    return reader.page(
        "settings.html",
        "settings",
        saved=saved,
        languages=languages(),
        lengths=LENGTHS,
        speeds=SPEEDS,
        zones=zones,
    )


@router.post("/settings")
async def save_settings(reader: ReaderOf) -> Response:
    """Keep the choices in a cookie of this browser."""
    fields = await reader.form()
    names = ("language", "length", "speed", "zone")
    chosen = {name: fields.get(name, "") for name in names}
    response = reader.go("/settings?saved=true")
    keep_view(response, reader.request, checked(replace(reader.view, **chosen)))
    return response


def keep_view(response: Response, request: Request, view: View) -> None:
    """Keep a view in this browser."""
    set_cookie(response, request, COOKIE, view.cookie())


@router.get("/login")
async def login(request: Request, next: Annotated[str, Query(max_length=200)] = "/") -> Response:
    """Where a key is given once."""
    return _nobody(request).page("login.html", "login", next=_own_path(next), refused=False)


@router.post("/login")
async def sign_in(request: Request) -> Response:
    """Take a key for this browser."""
    reader = _nobody(request)
    fields = await reader.form()
    key, after = fields.get("key", "").strip(), _own_path(fields.get("next", "/"))
    if service_of(request).callers.of(key) is None:
        return reader.page("login.html", "login", status=403, next=after, refused=True)
    response = RedirectResponse(after, 303)
    set_cookie(response, request, KEY_COOKIE, key)
    return response


@router.post("/logout")
async def sign_out(reader: ReaderOf) -> Response:
    """Forget the key in this browser, and what it kept for working without a network."""
    await reader.form()
    response = RedirectResponse("/login", 303)
    response.delete_cookie(KEY_COOKIE)
    response.headers["Clear-Site-Data"] = '"cache", "storage"'
    return response


@router.post("/csp-report")
async def policy_report(request: Request) -> Response:
    """What a browser refused to load; noted, nothing else."""
    body = (await request.body())[:REPORT_LIMIT_BYTES]
    reports = request.app.state.policy_reports = getattr(request.app.state, "policy_reports", 0) + 1
    logger.warning("policy report %d: %s", reports, body.decode("utf-8", "replace"))
    return Response(status_code=204)


def _nobody(request: Request) -> Reader:
    return Reader(request, service_of(request), NOBODY, view_of_request(request))


def _own_path(path: str) -> str:
    """A path of ours, never another site."""
    return path if path.startswith("/") and not path.startswith(("//", "/\\")) else "/"
