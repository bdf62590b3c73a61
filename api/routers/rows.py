"""Rows of one player for other tools: struck balls and swings, in the form the reader asks for."""

import hashlib
import uuid
from collections.abc import Awaitable, Callable
from typing import Annotated, Any, Literal

import pyarrow as pa
from fastapi import APIRouter, Depends, Query, Request
from starlette.responses import Response, StreamingResponse

from analytics.rows import EVERY, Place, RowFilter, RowTable, place_of
from api.cache import matches
from api.deps import AskedAsOf, Needs, OnePlayer, ServiceOf
from api.errors import Problem
from api.known_query import only_known
from api.models import Instant
from api.negotiation import choose
from api.paging import link_next
from api.row_columns import row_responses
from api.row_formats import FORMATS, RowFormat
from api.row_stream import RowStream

router = APIRouter(
    prefix="/v1/players/{player_id}",
    tags=["rows"],
    dependencies=[Depends(Needs("read:rows")), Depends(only_known)],
)

PAGE_ROWS = 1000
HEADERS = {
    "Cache-Control": "private, no-cache",
    "Vary": "Accept, Accept-Encoding, Authorization",
}
Since = Annotated[
    Instant | None,
    Query(
        description="Only rows from this instant on (RFC 3339 with an offset).",
        examples=["2025-09-24T00:00:00Z"],
    ),
]
Until = Annotated[
    Instant | None,
    Query(
        description="Only rows before this instant (RFC 3339 with an offset).",
        examples=["2025-11-13T00:00:00Z"],
    ),
]


async def asked_rows(
    since: Since = None,
    until: Until = None,
    club: Annotated[
        str | None,
        Query(pattern=r"^[A-Z0-9]{1,4}$", description="Only this club.", examples=["SW"]),
    ] = None,
    after: Annotated[
        str | None,
        Query(
            pattern=r"^[0-9]{1,18}-[0-9a-f]{1,64}$",
            description="Continue after this row: the cursor in the `Link` header.",
            examples=["1758697258000000-acc068346b6719cf"],
        ),
    ] = None,
    limit: Annotated[
        int | None,
        Query(
            ge=1,
            le=100_000,
            description="At most so many rows; left out: 1,000 as JSON, all in the other forms.",
            examples=[100],
        ),
    ] = None,
) -> RowFilter:
    """The rows a request asks for."""
    place = None
    if after is not None:
        instant_us, _, event_id = after.partition("-")
        place = Place(int(instant_us), event_id)
    return RowFilter(since, until, club, place, EVERY if limit is None else limit)


Wanted = Annotated[RowFilter, Depends(asked_rows)]
Format = Annotated[
    Literal["json", "csv", "arrow", "parquet"] | None,
    Query(description="The form, for readers that cannot set Accept.", examples=["json"]),
]
Fields = Annotated[
    str | None,
    Query(
        max_length=1000,
        description="Only these columns, comma-separated, in this order.",
        examples=["event_id"],
    ),
]


def _route(table: RowTable, summary: str) -> Callable[..., Awaitable[Response]]:
    async def rows(
        *,
        request: Request,
        player: OnePlayer,
        service: ServiceOf,
        wanted: Wanted,
        as_of: AskedAsOf,
        format: Format = None,
        fields: Fields = None,
    ) -> Response:
        form = choose(FORMATS, format, request.headers.get("accept", ""))
        headers = HEADERS | {"ETag": _etag(request, form)}
        same = matches(request.headers.get("if-none-match", ""), (headers["ETag"],))
        if form.name == "json" and wanted.rows == EVERY:
            wanted = RowFilter(wanted.since, wanted.until, wanted.club, wanted.after, PAGE_ROWS)
        limited = wanted.rows < EVERY
        if same and not limited:
            return Response(None, 304, headers)
        stream = RowStream(service, player.player_id, table, wanted, as_of)
        names = None if fields is None else list(dict.fromkeys(fields.split(",")))
        await stream.open(names, form)
        _check_fields(stream, fields)
        page = await stream.page() if limited else None
        _link(headers, request, table, page, wanted)
        if same:  # a page: whoever has it still needs the way to the next one
            return Response(None, 304, headers)
        headers["Content-Disposition"] = f'inline; filename="{table}.{form.name}"'
        if stream.size_bytes is not None:
            headers["Content-Length"] = str(stream.size_bytes)
        return StreamingResponse(
            stream.encoded(form, page), headers=headers, media_type=form.media_type
        )

    rows.__doc__ = (
        f"{summary}, corrections applied, oldest first.\n\n"
        "As JSON, CSV (safe to open in a spreadsheet), Arrow IPC stream or Parquet, by `Accept` or "
        "`format=`. Columns and units stand in the data dictionary (COLUMNS.md)."
    )
    return rows


def _etag(request: Request, form: RowFormat) -> str:
    service = request.app.state.service
    stamp = service.players.stamp(request.path_params["player_id"])
    # Where the clock cannot tell two states apart yet, no tag stands for either.
    state = stamp if stamp is not None and stamp.settled else uuid.uuid4()
    zipped = "gzip" in request.headers.get("accept-encoding", "") and form.name in {"json", "csv"}
    told: list[Any] = [request.url.path, request.url.query, form.name, zipped, str(state)]
    return f'"{hashlib.sha256(repr(told).encode()).hexdigest()[:32]}"'


def _check_fields(stream: RowStream, fields: str | None) -> None:
    names = [] if fields is None else list(dict.fromkeys(fields.split(",")))
    unknown = [name for name in names if name not in stream.schema.names]
    if unknown:
        mend = f"Choose from: {', '.join(stream.schema.names)}."
        raise Problem(
            422, "unknown_field", f"There is no column {', '.join(unknown)[:200]} here.", mend
        )


def _link(
    headers: dict[str, str],
    request: Request,
    table: RowTable,
    page: list[pa.RecordBatch] | None,
    wanted: RowFilter,
) -> None:
    """Lead on to the next page when this one is full."""
    if page is None or sum(batch.num_rows for batch in page) < wanted.rows:
        return
    last = place_of(table, page[-1])
    kept = {k: v for k, v in request.query_params.items() if k not in {"after", "limit"}}
    after = f"{last.instant_us}-{last.event_id}"
    headers["Link"] = link_next(request.url.path, after, wanted.rows, **kept)


for _table, _summary in (("shots", "Every struck ball"), ("swings", "Every swing")):
    router.add_api_route(
        f"/{_table}",
        _route(_table, _summary),  # type: ignore[arg-type]  # the two literals
        summary=_summary,
        name=f"get_{_table}",
        operation_id=f"get_{_table}",
        response_class=Response,
        responses=row_responses(_table),
    )
