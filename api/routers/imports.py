"""Exports brought in: upload, follow, answer what stayed open, take back, bring back."""

from contextlib import suppress
from typing import Annotated

from fastapi import Depends, Header, Query, Request, Response
from pydantic import Field

from api.answering import plain_router
from api.deps import CallerOf, Needs, ServiceOf
from api.errors import Problem, not_found
from api.idempotency import Claim, begin, forget, settle
from api.imports_seen import ImportId, ImportSeen, imports_of, one_import, with_successor
from api.jobs import Job, create_job, new_job_id, waiting_of
from api.models import Body
from api.paging import Limit, link_next
from api.routers.jobs import JobBody
from api.service import Service
from api.take_back import bring_back, take_back
from api.upload_options import UploadOptions, upload_options
from api.uploads import TYPES, Upload, receive, safe_name
from ingest.errors import UnknownImport
from schemas.store_paths import uploads_dir

router = plain_router("/imports", "imports", None)

MOST_WAITING = 100
MOST_WAIT_S = 30.0
BINARY = {"schema": {"type": "string", "format": "binary"}}
CSV_EXAMPLE = "Shot,Local time,Club,Club speed (mph),Carry (ft)\n1,2026-05-04 17:30:00,SW,18.1,24\n"


Prefer = Annotated[
    str | None,
    Header(description="`respond-async`, or `wait=N` seconds.", examples=["respond-async"]),
]


class Answers(Body):
    """Answers to an import's open questions."""

    answers: Annotated[
        dict[str, Annotated[str, Field(max_length=200)]],
        Field(
            min_length=1,
            max_length=50,
            description="Question id → one of its candidates.",
            examples=[{"unit:carry_m": "[yd_i]"}],
        ),
    ]


class ImportsBody(Body):
    """A player's imports."""

    items: Annotated[list[ImportSeen], Field(description="The imports, newest first.")]


@router.post(
    "",
    summary="Send an export",
    status_code=202,
    dependencies=[Depends(Needs("import"))],
    openapi_extra={
        "x-repeats": "own",
        "requestBody": {
            "required": True,
            "content": {
                TYPES[0]: BINARY | {"example": CSV_EXAMPLE},
                TYPES[1]: BINARY,
            },
        },
    },
)
async def post_import(
    *,
    request: Request,
    response: Response,
    service: ServiceOf,
    caller: CallerOf,
    player_id: Annotated[
        str,
        Query(pattern=r"^[a-z][a-z0-9]{3,31}$", description="Whose rows.", examples=["q3fk82"]),
    ],
    said: Annotated[UploadOptions, Depends(upload_options)],
    name: Annotated[
        str, Query(max_length=200, description="Name of the file.", examples=["monday.csv"])
    ] = "upload",
    prefer: Prefer = None,
) -> JobBody:
    """Send the bytes of one export as they are (CSV, workbook, JSON lines, gzip, zip).

    Answered 202 with a job to follow; with `Prefer: wait=10` the answer waits for the job, at most
    so many seconds (30 at most). A file that cannot be taken ends in a failed job that says why,
    an empty one too. Rows that do not fit are set aside with their reason; what the file leaves
    open becomes questions of the import.
    """
    _check_may_send(service, caller, player_id, request)
    job_id = new_job_id()
    upload = await receive(request.stream(), uploads_dir(service.settings.store) / job_id)
    claim = Claim.of(request, upload.sha256)
    kept = None if claim is None else _first_or_kept(service, claim, upload)
    if kept is not None:
        return kept  # type: ignore[return-value]  # the framework passes a response through
    asked = {"name": safe_name(name), "options": said.model_dump(), "sha256": upload.sha256}
    try:
        job = create_job(
            service.state,
            job_id=job_id,
            kind="import",
            player_id=player_id,
            caller=caller,
            request=asked,
            body=upload.body,
        )
    except BaseException:
        upload.drop()
        if claim is not None:
            forget(service.state, claim)
        raise
    service.job_runner.call(job_id)
    body = await _answered(service, response, job, prefer)
    if claim is not None:
        plain = Response(body.model_dump_json(), response.status_code or 202, response.headers)
        plain.headers["content-type"] = "application/json"
        settle(service.state, claim, plain, player_id)
    return body


def _check_may_send(service: Service, caller: CallerOf, player_id: str, request: Request) -> None:
    service.visible(caller, player_id)
    media_type = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if media_type not in TYPES:
        mend = f"Send {TYPES[0]}, or {TYPES[1]} for other files."
        raise Problem(
            415, "unsupported_media_type", f"{media_type or 'Nothing'} will not do.", mend
        )
    if waiting_of(service.state, caller) >= MOST_WAITING:
        raise Problem(
            429,
            "too_many_jobs",
            f"{MOST_WAITING} jobs of this key are waiting already.",
            "Follow those first.",
            {"Retry-After": "5"},
        )


def _first_or_kept(service: Service, claim: Claim, upload: Upload) -> Response | None:
    try:
        kept = begin(service.state, claim)
    except Problem:
        upload.drop()
        raise
    if kept is not None:
        upload.drop()
    return kept


async def _answered(service: Service, response: Response, job: Job, prefer: str | None) -> JobBody:
    response.headers["Location"] = f"/v1/jobs/{job.job_id}"
    wait_s = _wait_of(prefer)
    if wait_s > 0:
        response.headers["Preference-Applied"] = f"wait={wait_s:g}"
        await service.job_runner.wait(job.job_id, wait_s)
        job = service.job(job.job_id)
    elif prefer and "respond-async" in prefer:
        response.headers["Preference-Applied"] = "respond-async"
    return JobBody.of(job)


def _wait_of(prefer: str | None) -> float:
    for part in (prefer or "").split(","):
        name, _, value = part.strip().partition("=")
        if name == "wait" and value.isdigit():
            return min(float(value), MOST_WAIT_S)
    return 0.0


@router.get("", summary="List imports", dependencies=[Depends(Needs("read:rows"))])
async def get_imports(
    *,
    request: Request,
    response: Response,
    service: ServiceOf,
    caller: CallerOf,
    player_id: Annotated[
        str,
        Query(pattern=r"^[a-z][a-z0-9]{3,31}$", description="Whose.", examples=["q3fk82"]),
    ],
    undone: Annotated[
        bool, Query(description="Those taken back instead of those that stand.", examples=[False])
    ] = False,
    after: Annotated[
        str,
        Query(
            pattern=r"^([0-9a-f]{32})?$",
            description="Continue after this import: the cursor in the `Link` header.",
            examples=[""],
        ),
    ] = "",
    limit: Limit = 100,
) -> ImportsBody:
    """What was brought in for a player, newest first; `Link` leads to the next page."""
    service.visible(caller, player_id)
    request.state.shown = [player_id]
    found = await service.runner.run(imports_of, service.settings.store, player_id, undone)
    begin = _place_after(found, after)
    page = found[begin : begin + limit]
    if len(found) > begin + limit:
        told = {"player_id": player_id, "undone": str(undone).lower()}
        last = page[-1].import_id
        response.headers["Link"] = link_next("/v1/imports", last, limit, **told)
    return ImportsBody(items=page)


def _place_after(found: list[ImportSeen], import_id: str) -> int:
    """Where the page after an import begins. Raises Problem 404 when it is not in the list."""
    if not import_id:
        return 0
    place = next((n for n, one in enumerate(found) if one.import_id == import_id), None)
    if place is None:
        raise not_found("such import in this list", "Begin anew without after.")
    return place + 1


@router.get("/{import_id}", summary="One import", dependencies=[Depends(Needs("read:rows"))])
async def get_import(
    import_id: ImportId, service: ServiceOf, caller: CallerOf, request: Request
) -> ImportSeen:
    """Its counts, its open questions, and whether it stands."""
    seen = one_import(service, caller, import_id)
    request.state.shown = [seen.player_id]
    return await service.runner.run(with_successor, service.settings.store, seen)


@router.post(
    "/{import_id}/answers",
    summary="Answer questions",
    status_code=202,
    dependencies=[Depends(Needs("import"))],
)
async def post_answers(
    *,
    import_id: ImportId,
    wanted: Answers,
    service: ServiceOf,
    caller: CallerOf,
    response: Response,
    prefer: Prefer = None,
) -> JobBody:
    """Read the same bytes again with these answers; the new import replaces this one.

    Each answer is one of the question's `candidates`. Followed like an upload: `Prefer: wait=10`.
    """
    seen = one_import(service, caller, import_id)
    asked = {"import_id": import_id, "answers": wanted.answers}
    job = create_job(
        service.state,
        job_id=new_job_id(),
        kind="answers",
        player_id=seen.player_id,
        caller=caller,
        request=asked,
    )
    service.job_runner.call(job.job_id)
    return await _answered(service, response, job, prefer)


@router.post("/{import_id}/undo", summary="Take back", dependencies=[Depends(Needs("import"))])
async def post_undo(import_id: ImportId, service: ServiceOf, caller: CallerOf) -> ImportSeen:
    """Take an import back, by one rename; corrections of its rows stay in the book."""
    seen = one_import(service, caller, import_id)
    async with service.cache.flight(f"imports of {seen.player_id}"):
        if one_import(service, caller, import_id).standing:
            with suppress(UnknownImport):  # another process took it back meanwhile
                await service.runner.run(take_back, service.settings.store, import_id)
            await service.changed(seen.player_id)
    return one_import(service, caller, import_id)


@router.post("/{import_id}/redo", summary="Bring back", dependencies=[Depends(Needs("import"))])
async def post_redo(import_id: ImportId, service: ServiceOf, caller: CallerOf) -> ImportSeen:
    """Bring back an import that was taken back."""
    seen = one_import(service, caller, import_id)
    async with service.cache.flight(f"imports of {seen.player_id}"):
        if not one_import(service, caller, import_id).standing:
            with suppress(UnknownImport):  # another process brought it back meanwhile
                await service.runner.run(bring_back, service.settings.store, import_id)
            await service.changed(seen.player_id)
    return one_import(service, caller, import_id)
