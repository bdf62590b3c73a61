"""Queries run in threads, as many at once as there are cores, so that nobody else waits."""

import asyncio
from collections.abc import Callable
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


class Runner:
    """Runs blocking work beside the event loop; at most `cores` pieces at once."""

    def __init__(self, cores: int) -> None:
        self._free = asyncio.Semaphore(cores)

    async def run(self, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """The result of `work(*args, **kwargs)`, computed in a thread."""
        async with self._free:
            return await asyncio.to_thread(work, *args, **kwargs)
