"""Conditional requests for answers that are made anew each time: a tag of their bytes, or 304."""

from fastapi import Request
from starlette.responses import Response

from api.cache import CACHE_CONTROL, COMPRESS_FROM, matches, strong_etag
from api.errors import Problem

KEPT_ON_304 = ("link", "cache-control", "content-location", "vary")


def require_match(if_match: str | None, body: bytes) -> None:
    """Refuse a write to what is not any more what its writer saw.

    body: the resource as a GET answers it now.

    Raises:
        Problem: 412 when `if_match` names none of its tags (strong comparison, RFC 9110 §13.1.1).
    """
    if if_match is None or if_match.strip() == "*":
        return
    plain = strong_etag(body)
    named = {tag.strip() for tag in if_match.split(",")}
    if named.isdisjoint({plain, f'{plain[:-1]}-gzip"'}):
        raise Problem(
            412,
            "changed_meanwhile",
            "This was changed since the ETag of If-Match was given.",
            "Read it again, look at what changed, and send the write with its new ETag.",
        )


def conditional(request: Request, response: Response) -> Response:
    """The answer with its strong tag, or 304 where the reader has these bytes already.

    Only a whole answer of 200 that may be kept and has no tag yet gets one.
    """
    if response.status_code != 200 or "etag" in response.headers:
        return response
    if "no-store" in response.headers.get("cache-control", ""):
        return response
    body = bytes(response.body)
    plain = strong_etag(body)
    zipped = f'{plain[:-1]}-gzip"'
    will_be_zipped = len(body) >= COMPRESS_FROM and "gzip" in request.headers.get(
        "accept-encoding", ""
    )
    response.headers["ETag"] = zipped if will_be_zipped else plain
    response.headers["Cache-Control"] = CACHE_CONTROL.decode()
    response.headers["Vary"] = "Authorization, Accept-Encoding"
    if not matches(request.headers.get("if-none-match", ""), (plain, zipped)):
        return response
    kept = {name: value for name, value in response.headers.items() if name in KEPT_ON_304}
    return Response(None, 304, kept | {"ETag": response.headers["etag"]})
