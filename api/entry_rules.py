"""What a request must satisfy before any route sees it: size, origin, key, allowance."""

import re
from urllib.parse import urlsplit

from starlette.types import Scope

from api.access import OWNER, Caller
from api.errors import Problem
from api.keys import Callers
from api.settings import Settings

RequestHeaders = dict[bytes, bytes]

LOOPBACK = frozenset({"127.0.0.1", "::1"})
LOOPBACK_NAMES = frozenset({b"127.0.0.1", b"localhost", b"[::1]"})
FORWARDED = (b"forwarded", b"x-forwarded-for", b"via")
COOKIE = "carrybook_key"
UNSAFE = frozenset({"POST", "PUT", "PATCH", "DELETE"})
MOST_HEAD_BYTES = 16 * 1024
MOST_HEADERS = 100
SAID_ONCE = frozenset(
    {
        b"authorization",
        b"content-encoding",
        b"content-type",
        b"idempotency-key",
        b"if-match",
        b"origin",
        b"x-request-id",
    }
)
UPLOADS = re.compile(r"/imports/?$")


def check_address(scope: Scope, limit_bytes: int) -> None:
    """Raises Problem 414 for an address beyond the limit."""
    if len(scope["path"]) + len(scope["query_string"]) > limit_bytes:
        mend = f"Keep path and query under {limit_bytes} bytes."
        raise Problem(414, "address_too_long", "The address is too long.", mend)


def check_head(scope: Scope, headers: RequestHeaders) -> None:
    """Raises Problem 431 for a head beyond the limits, 400 for one that can be read in two ways."""
    size = sum(len(name) + len(value) for name, value in scope["headers"])
    if size > MOST_HEAD_BYTES or len(scope["headers"]) > MOST_HEADERS:
        mend = f"Send at most {MOST_HEADERS} header lines of {MOST_HEAD_BYTES} bytes together."
        raise Problem(431, "head_too_large", "The head of the request is too large.", mend)
    if b"content-length" in headers and b"transfer-encoding" in headers:
        mend = "Send Content-Length or Transfer-Encoding, not both."
        again = {"Connection": "close"}
        raise Problem(400, "two_lengths", "The body has two lengths.", mend, again)
    if len(headers) < len(scope["headers"]):
        _check_said_once(scope)


def _check_said_once(scope: Scope) -> None:
    """Raises Problem 400 for a header that has one meaning and stands there twice."""
    named = [name for name, _ in scope["headers"] if name in SAID_ONCE]
    twice = sorted({name.decode() for name in named if named.count(name) > 1})
    if twice:
        detail = f"{', '.join(twice)} is there twice."
        raise Problem(400, "header_repeated", detail, "Send each of these headers once.")


def check_coding(scope: Scope, headers: RequestHeaders) -> None:
    """Raises Problem 415 for a body sent compressed; an export may be a compressed file itself."""
    coding = headers.get(b"content-encoding", b"identity").strip().lower()
    if coding not in {b"", b"identity"}:
        file = " A compressed file is sent as it is, without the header." if _uploads(scope) else ""
        mend = f"Send the body without Content-Encoding.{file}"
        accepted = {"Accept-Encoding": "identity"}
        raise Problem(415, "unsupported_coding", "Bodies are not unpacked.", mend, accepted)


def body_limit(scope: Scope, headers: RequestHeaders, settings: Settings) -> int:
    """Greatest body in bytes for this request. Raises Problem 413 when more is announced."""
    limit = settings.upload_limit_bytes if _uploads(scope) else settings.body_limit_bytes
    announced = headers.get(b"content-length", b"0")
    if announced.isdigit() and int(announced) > limit:
        mend = f"Send at most {limit} bytes at once."
        raise Problem(413, "too_large", f"{int(announced)} bytes are too many.", mend)
    return limit


def _uploads(scope: Scope) -> bool:
    return UPLOADS.search(scope["path"]) is not None


def check_origin(scope: Scope, headers: RequestHeaders) -> None:
    """Refuse a write that another site's page makes a browser send (without a key of its own).

    Raises:
        Problem: 403 for a cross-site write.
    """
    if scope["method"] not in UNSAFE or b"authorization" in headers:
        return
    origin = headers.get(b"origin")
    foreign = origin is not None and urlsplit(origin).netloc != headers.get(b"host", b"")
    if foreign or headers.get(b"sec-fetch-site", b"same-origin") == b"cross-site":
        mend = "Send a key with the request, or write from the service's own pages."
        raise Problem(403, "cross_site", "Another site may not write here.", mend)


def caller_of_request(
    scope: Scope, headers: RequestHeaders, callers: Callers, settings: Settings
) -> Caller | None:
    """Whose request this is: by key, by the pages' cookie with one, or the owner's machine."""
    callers.refresh()
    secret = _secret(headers)
    if secret is not None:
        return callers.of(secret)
    if settings.keys_only and callers.any_key:
        return None
    client = scope.get("client") or ("", 0)
    forwarded = any(name in headers for name in FORWARDED)
    here = client[0] in LOOPBACK and host_name(headers.get(b"host", b"")) in LOOPBACK_NAMES
    return OWNER if here and not forwarded else None


def _secret(headers: RequestHeaders) -> str | None:
    given = headers.get(b"authorization")
    if given is not None:
        scheme, _, secret = given.decode("latin-1").partition(" ")
        return secret.strip() if scheme.lower() == "bearer" else ""
    cookie = headers.get(b"cookie")
    if cookie is None or COOKIE.encode() not in cookie:
        return None
    parts = (part.strip().partition("=") for part in cookie.decode("latin-1").split(";"))
    return next((value for name, _, value in parts if name == COOKIE), None)


def host_name(host: bytes) -> bytes:
    """The name in a Host header, without the port."""
    name, colon, port = host.rpartition(b":")
    return name if colon and port.isdigit() else host
