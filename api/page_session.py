"""Cookies of the pages: the session of a key, and the token that proves a form is our own.

Rules
-----
1. At the coach's own machine, while keys are not demanded there, nobody needs to sign in.
2. Signing in gives a cookie that scripts cannot read and other sites cannot send; it holds the
   key, which is checked anew on every request, so that a revoked key ends the session at once.
3. A form is taken only with the token of the browser's own cookie and from our own origin.
"""

import hmac
import secrets
from urllib.parse import urlsplit

from fastapi import Request
from starlette.responses import Response

from api.errors import Problem

KEY_COOKIE = "carrybook_key"
FORM_COOKIE = "carrybook_form"
YEAR_S = 365 * 24 * 3600


def form_token(request: Request) -> str:
    """The browser's form token; a new one when it has none."""
    token = request.cookies.get(FORM_COOKIE, "")
    return token if len(token) >= 32 and token.isalnum() else secrets.token_hex(16)


def keep_form_token(response: Response, request: Request, token: str) -> None:
    """Set the form cookie if the browser does not have it yet."""
    if request.cookies.get(FORM_COOKIE) != token:
        set_cookie(response, request, FORM_COOKIE, token)


def set_cookie(response: Response, request: Request, name: str, value: str) -> None:
    """A cookie that only our own pages send and no script reads."""
    response.set_cookie(
        name,
        value,
        max_age=YEAR_S,
        httponly=True,
        samesite="strict",
        secure=request.url.scheme == "https",
    )


def require_own_form(request: Request, token: str) -> None:
    """Raises Problem 403 unless the form comes from one of our pages in this browser."""
    cookie = request.cookies.get(FORM_COOKIE, "")
    origin = request.headers.get("origin")
    own_origin = origin is None or urlsplit(origin).netloc == request.headers.get("host")
    if cookie and own_origin and hmac.compare_digest(cookie.encode(), token.encode()):
        return
    raise Problem(
        403,
        "foreign_form",
        "This form did not come from one of the pages opened in this browser.",
        "Open the page again and send the form from there.",
    )
