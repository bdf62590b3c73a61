"""Queries run in threads, as many at once as there are cores, so that nobody else waits."""

import asyncio
import gc
import sys
from collections.abc import Callable
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


GIVE_WAY_S = 0.0005


def be_prompt() -> None:
    """Prepare a process that only serves, once everything is loaded.

    What is loaded stays: the collector need not look through it again and again, which would stop
    every reader for a while. And a thread that computes gives way to them ten times sooner.
    """
    gc.collect()
    gc.freeze()
    sys.setswitchinterval(GIVE_WAY_S)


class Runner:
    """Runs blocking work beside the event loop; at most `cores` pieces at once."""

    def __init__(self, cores: int) -> None:
        self._free = asyncio.Semaphore(cores)

    async def run(self, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """The result of `work(*args, **kwargs)`, computed in a thread."""
        async with self._free:
            return await asyncio.to_thread(work, *args, **kwargs)
