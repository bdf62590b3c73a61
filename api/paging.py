"""Pages by key, not by count: `after=` names the last one seen, `Link` leads on (RFC 8288)."""

from typing import Annotated
from urllib.parse import urlencode

from fastapi import Query

After = Annotated[
    str,
    Query(
        description="Continue after this one: the cursor in the `Link` header.",
        pattern=r"^[A-Za-z0-9_-]{0,80}$",
        examples=[""],
    ),
]
AfterNumber = Annotated[
    int,
    Query(ge=0, le=2**53, description="Continue after this number.", examples=[0]),
]
Limit = Annotated[int, Query(ge=1, le=1000, description="At most so many.", examples=[100])]


def link_next(path: str, after: str | int, limit: int, **query: str) -> str:
    """The `Link` header to the page after `after`; addresses are relative to the host."""
    address = f"{path}?{urlencode(query | {'after': after, 'limit': limit})}"
    return f'<{address}>; rel="next"'
