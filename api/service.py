"""What a running service holds: settings, players, cache, queries, its own memory."""

import asyncio
import logging
import time
from collections.abc import Callable, Coroutine
from functools import cached_property

from fastapi import Request

from api.access import Caller
from api.cache import Cache
from api.changes import ChangeFeed
from api.errors import not_found
from api.job_runner import JobRunner
from api.jobs import Job, get_job
from api.keys import Callers
from api.metrics import Metrics
from api.player_cards import PlayerCard, PlayerCards
from api.rate_limit import RateLimit
from api.read_log import ReadLog
from api.refreshing import Refresher
from api.running import Runner
from api.service_state import ServiceState
from api.settings import Settings
from api.telling import Teller
from api.webhooks import waiting

logger = logging.getLogger(__name__)

WRITE_READS_EVERY_S = 0.5
REST_PER_LOOK = 200
Loop = Callable[[], Coroutine[None, None, None]]


class Service:
    """The shared state of one application; the state file is opened by its first use."""

    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self.players = PlayerCards(settings.store)
        self.cache = Cache(settings.cache_limit_bytes)
        self.runner = Runner(settings.cores)
        self.rate_limit = RateLimit(settings.requests_per_minute)
        self.metrics = Metrics()
        self.refresher = Refresher(self.cache, self.players)
        self.loops: list[Loop] = [self._write_reads, self._watch, self._tell, self._do_jobs]
        self._tasks: list[asyncio.Task[None]] = []

    @cached_property
    def state(self) -> ServiceState:
        """The service's own memory."""
        return ServiceState(self.settings.store, tidies=False)

    @cached_property
    def callers(self) -> Callers:
        """Who shows which key; read over a connection that waits for no other work."""
        return Callers(ServiceState(self.settings.store))

    @cached_property
    def read_log(self) -> ReadLog:
        """Which app read what."""
        return ReadLog(self.settings.store)

    @cached_property
    def changes(self) -> ChangeFeed:
        """What changed in the store."""
        return ChangeFeed(self.settings.store, self.state, self.players)

    @cached_property
    def teller(self) -> Teller:
        """Who tells webhooks of changes."""
        private_hosts = self.settings.webhook_private_hosts
        return Teller(self.state, self.changes, self.callers, private_hosts=private_hosts)

    @cached_property
    def job_runner(self) -> JobRunner:
        """Who does the jobs."""
        return JobRunner(
            self.settings.store,
            self.state,
            self.changes,
            self.refresher,
            self.metrics,
            own_process=self.settings.import_process,
        )

    def visible(self, caller: Caller, player_id: str) -> PlayerCard:
        """The player, if they exist for the caller. Raises Problem 404."""
        card = self.players.get(player_id)
        if card is None or not caller.sees(card):
            raise not_found("such player", "List the players this key may see: GET /v1/players.")
        return card

    def job(self, job_id: str) -> Job:
        """One job. Raises Problem 404."""
        return get_job(self.state, job_id)

    async def changed(self, player_id: str) -> None:
        """Tell the feed that a player's data changed, and bring kept answers up to date."""
        await asyncio.to_thread(self.changes.look_for, player_id)
        await self.refresher.refresh(player_id)

    def start(self) -> None:
        """Begin the work that goes on beside requests."""
        self._tasks = [asyncio.create_task(_kept_up(loop)) for loop in self.loops]

    async def stop(self) -> None:
        """End that work and close the state file."""
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        self.read_log.close()
        self.callers.close()
        self.state.close()

    async def _write_reads(self) -> None:
        while True:
            await asyncio.sleep(WRITE_READS_EVERY_S)
            await asyncio.to_thread(self.read_log.write)

    async def _watch(self) -> None:
        """Notice what other processes changed; a look over many players is taken less often."""
        looked_s = 0.0
        while True:
            await asyncio.sleep(max(self.settings.watch_s, looked_s * REST_PER_LOOK))
            began = time.perf_counter()
            await asyncio.to_thread(self.changes.look)
            looked_s = time.perf_counter() - began
            await self.refresher.refresh_changed()

    async def _tell(self) -> None:
        """Tell webhooks what changed; sooner again as long as there is something to tell."""
        while True:
            sent = await self.teller.tell()
            self.metrics.deliveries_waiting.set(waiting(self.state))
            await asyncio.sleep(0.05 if sent else self.settings.watch_s)

    async def _do_jobs(self) -> None:
        """Do the jobs as they come."""
        await self.job_runner.work()


async def _kept_up(loop: Loop) -> None:
    """Run a loop for good: should it end by an error, log that and begin it again."""
    while True:
        running = asyncio.ensure_future(loop())
        try:
            await asyncio.wait({running})
        except asyncio.CancelledError:
            while not running.done():  # whatever it waits in may lose one cancellation
                running.cancel()
                await asyncio.wait({running}, timeout=1)
            raise
        logger.error("work beside the requests ended", exc_info=running.exception())
        await asyncio.sleep(1)


def service_of(request: Request) -> Service:
    """The service a request came to."""
    service: Service = request.app.state.service
    return service
