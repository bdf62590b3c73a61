"""A service stops though something beside its requests is just waking up."""

import asyncio

import pytest

from api.app import make_app
from api.page_cache import PageCache
from api.page_refreshing import PageRefresher
from api.service import _kept_up
from api.settings import Settings


async def ends(task: asyncio.Task[None]) -> bool:
    task.cancel()
    await asyncio.wait({task}, timeout=5)
    return task.done()


@pytest.mark.parametrize("turns", range(6))
def test_a_refresher_ends_while_it_is_being_nudged(tmp_path, turns):
    service = make_app(Settings(tmp_path)).state.service

    async def nudged() -> bool:
        refresher = PageRefresher(service, PageCache())
        task = asyncio.create_task(refresher.run())
        await asyncio.sleep(0.01)
        refresher.nudge("robin1")
        for _ in range(turns):
            await asyncio.sleep(0)
        return await ends(task)

    assert asyncio.run(nudged())


def test_a_loop_that_loses_a_cancellation_ends_all_the_same():
    async def deaf() -> None:
        try:
            await asyncio.sleep(60)
        except asyncio.CancelledError:
            await asyncio.sleep(60)

    async def stopped() -> bool:
        task = asyncio.create_task(_kept_up(deaf))
        await asyncio.sleep(0.01)
        return await ends(task)

    assert asyncio.run(stopped())
