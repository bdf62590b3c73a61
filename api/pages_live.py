"""What happens now, as server-sent events: files coming in, and a player's book changing."""

import asyncio
import json
from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import Query
from starlette.responses import Response, StreamingResponse

from api.errors import Problem
from api.jobs import Job, get_job
from api.page_frame import Reader, ReaderOf, page_router

router = page_router()
LOOK_EVERY_S = 0.25
LONGEST_S = 20.0
"""A stream ends after so long and the browser asks again: a service that stops is not held up."""


@router.get("/jobs")
async def jobs(reader: ReaderOf, ids: Annotated[str, Query(max_length=2000)] = "") -> Response:
    """Progress of files on their way in, and what came of each."""
    found = _jobs(reader, ids)
    done = bool(found) and all(job.done for job in found)
    failed = [job for job in found if job.state == "failed"]
    player = found[0].player_id if found else ""
    return reader.page(
        "jobs.html", "imports", jobs=found, ids=ids, done=done, failed=failed, player_id=player
    )


def _jobs(reader: Reader, ids: str) -> list[Job]:
    found = [get_job(reader.service.state, one) for one in ids.split(",") if one]
    reader.shows({reader.card(job.player_id) for job in found})
    return found


@router.get("/jobs/live")
async def live_jobs(reader: ReaderOf, ids: Annotated[str, Query(max_length=2000)] = "") -> Response:
    """Events `progress` while files come in, then `done` with where to look."""
    _jobs(reader, ids)
    return stream(_progress(reader, ids))


async def _progress(reader: Reader, ids: str) -> AsyncIterator[str]:
    while True:
        try:
            found = _jobs(reader, ids)
        except Problem:
            return  # erased meanwhile: there is nothing left to follow
        done = sum(job.done for job in found)
        words = reader.say("imports.progress", done=done, all=len(found))
        yield event("progress", {"share": done / max(len(found), 1), "words": words})
        if done == len(found):
            yield event("done", {"path": f"/jobs?ids={ids}"})
            return
        await asyncio.sleep(LOOK_EVERY_S)


@router.get("/players/{player_id}/live")
async def live_player(reader: ReaderOf, player_id: str) -> Response:
    """One event `changed` as soon as the player's book changes."""
    reader.card(player_id)
    return stream(_changed(reader, player_id))


async def _changed(reader: Reader, player_id: str) -> AsyncIterator[str]:
    """`hello` with the book's state as its id; the browser sends that id when it comes back."""
    stamp = reader.service.players.stamp
    known = reader.request.headers.get("last-event-id") or str(stamp(player_id))
    yield f"event: hello\nid: {known}\ndata: {{}}\n\n"
    waited = 0.0
    while waited < LONGEST_S and not await reader.request.is_disconnected():
        if str(stamp(player_id)) != known:
            yield event("changed", {})
            return
        await asyncio.sleep(LOOK_EVERY_S)
        waited += LOOK_EVERY_S


def event(name: str, data: dict[str, object]) -> str:
    """One server-sent event."""
    return f"event: {name}\ndata: {json.dumps(data, ensure_ascii=False)}\n\n"


def stream(events: AsyncIterator[str]) -> Response:
    """Events as an answer that goes on until they end."""
    return StreamingResponse(events, media_type="text/event-stream")
