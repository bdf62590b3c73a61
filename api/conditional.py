"""Conditional requests for answers that are made anew each time: a tag of their bytes, or 304."""

from fastapi import Request
from starlette.responses import Response

from api.cache import CACHE_CONTROL, COMPRESS_FROM, matches, strong_etag

KEPT_ON_304 = ("link", "cache-control", "content-location", "vary")


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
