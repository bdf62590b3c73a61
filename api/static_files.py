"""Files that come with the product, under addresses that name their content.

A page asks for `/static/book.css?v=<digest>`: the browser keeps that for good and asks for another
address once the file is another one. Without the digest a file is kept for an hour.
"""

from functools import cache
from hashlib import sha256
from importlib import resources
from urllib.parse import parse_qs

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

AN_HOUR = "public, max-age=3600"
FOR_GOOD = "public, max-age=31536000, immutable"
DIGEST_LENGTH = 10


class Static(StaticFiles):
    """The files with the headers all pages have."""

    def __init__(self, directory: str, policy: str) -> None:
        super().__init__(directory=directory)
        self._policy = policy

    async def get_response(self, path: str, scope: Scope) -> Response:
        """The file; kept for good when the address names the content that is there."""
        response = await super().get_response(path, scope)
        asked = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("v", [""])[0]
        named = bool(asked) and response.status_code in (200, 304) and asked == digest(path)
        response.headers["Cache-Control"] = FOR_GOOD if named else AN_HOUR
        response.headers["Content-Security-Policy"] = self._policy
        if path == "worker.js":
            response.headers["Service-Worker-Allowed"] = "/"
            response.headers["Cache-Control"] = "no-cache"
        return response


def address(name: str) -> str:
    """Where a page finds a file of `api/static`."""
    return f"/static/{name}?v={digest(name)}"


@cache
def digest(name: str) -> str:
    """The first digits of the SHA-256 of a file of `api/static`."""
    content = resources.files("api").joinpath("static", name).read_bytes()
    return sha256(content).hexdigest()[:DIGEST_LENGTH]
