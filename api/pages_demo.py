"""Opening the demo from an empty book: built beside requests, with its progress shown."""

import asyncio
from collections.abc import AsyncIterator
from dataclasses import dataclass

from fastapi import Request
from starlette.responses import Response

from api.demo_book import build_demo
from api.errors import Problem
from api.page_frame import Reader, ReaderOf, page_router
from api.pages_live import LOOK_EVERY_S, event, stream

router = page_router()


@dataclass
class Building:
    """How far the demo is; one per application."""

    done: int = 0
    all: int = 1
    task: asyncio.Task[None] | None = None

    @property
    def running(self) -> bool:
        """Whether it is being built now."""
        return self.task is not None and not self.task.done()


def building_of(request: Request) -> Building:
    """The demo's progress of this application."""
    state = request.app.state
    if not hasattr(state, "demo"):
        state.demo = Building()
    found: Building = state.demo
    return found


@router.post("/demo")
async def build(reader: ReaderOf) -> Response:
    """Start building the demo; a second time changes nothing."""
    await reader.form()
    if not reader.caller.owner:
        raise Problem(
            403,
            "owner_only",
            "The demo is opened at the book's own machine.",
            "Open the page there, or run `carrybook demo`.",
        )
    building = building_of(reader.request)
    if not building.running:
        building.task = asyncio.create_task(_build(reader, building))
    return reader.go("/demo")


async def _build(reader: Reader, building: Building) -> None:
    def step(done: int, count: int) -> None:
        building.done, building.all = done, count

    await reader.service.runner.run(build_demo, reader.service.settings.store, step)
    for card in reader.cards():
        await reader.service.changed(card.player_id)


@router.get("/demo")
async def progress(reader: ReaderOf) -> Response:
    """How far it is; once done, the book opens."""
    building = building_of(reader.request)
    if not building.running:
        return reader.go("/")
    return reader.page("demo.html", "today", building=building)


@router.get("/demo/live")
async def live(reader: ReaderOf) -> Response:
    """Events `progress`, then `done`."""
    return stream(_progress(reader, building_of(reader.request)))


async def _progress(reader: Reader, building: Building) -> AsyncIterator[str]:
    while building.running:
        words = reader.say("imports.progress", done=building.done, all=building.all)
        yield event("progress", {"share": building.done / max(building.all, 1), "words": words})
        await asyncio.sleep(LOOK_EVERY_S)
    yield event("done", {"path": "/"})
