"""Does the jobs, one after the other, in a process of its own, so that readers notice little.

A job is finished only after the answers somebody reads about the player are up to date. A job that
a stopped service left behind is done at the next start: taking the same bytes in twice is once.
"""

import asyncio
import logging
import multiprocessing
import time
from collections.abc import Callable, Collection
from concurrent.futures import BrokenExecutor, Executor, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import Any

from api import import_work
from api.changes import ChangeFeed
from api.jobs import (
    Job,
    JobState,
    begin_job,
    count_unfinished,
    end_job,
    unfinished,
    upload_of,
)
from api.learn_population import learn_when_due
from api.metrics import Metrics
from api.refreshing import Refresher
from api.service_state import ServiceState
from schemas.store_paths import uploads_dir

logger = logging.getLogger(__name__)

Json = dict[str, Any]  # a JSON document
ORPHAN_AFTER_S = 24 * 3600


def drop_orphans(store: Path, waiting: Collection[str]) -> None:
    """Remove uploads of no waiting job, as a service that was killed leaves them; a day old."""
    for path in uploads_dir(store).glob("j*"):
        with suppress(FileNotFoundError):
            if path.name not in waiting and time.time() - path.stat().st_mtime > ORPHAN_AFTER_S:
                path.unlink()


class JobRunner:
    """The one worker of a service."""

    def __init__(
        self,
        store: Path,
        state: ServiceState,
        feed: ChangeFeed,
        refresher: Refresher,
        metrics: Metrics,
        *,
        own_process: bool,
    ) -> None:
        self._store = store
        self._state = state
        self._feed = feed
        self._refresher = refresher
        self._metrics = metrics
        self._own_process = own_process
        self._executor: Executor | None = None
        self._called = asyncio.Event()
        self._done: dict[str, asyncio.Event] = {}

    def call(self, job_id: str) -> None:
        """Say that a job was written down."""
        self._done[job_id] = asyncio.Event()
        self._metrics.jobs_waiting.inc()
        self._called.set()

    async def wait(self, job_id: str, seconds: float) -> None:
        """Wait until a job is done, at most so long."""
        done = self._done.get(job_id)
        if done is not None:
            try:
                async with asyncio.timeout(seconds):
                    await done.wait()
            except TimeoutError:
                return

    async def work(self) -> None:
        """Do jobs as they come, for as long as the service runs."""
        self._called.set()
        await asyncio.to_thread(
            drop_orphans, self._store, {j.job_id for j in unfinished(self._state)}
        )
        try:
            while True:
                await self._called.wait()
                self._called.clear()
                jobs = unfinished(self._state)
                for job in jobs:
                    await self._do(job)
                    self._metrics.jobs_waiting.set(count_unfinished(self._state))
                if jobs:
                    await self._learn()
        finally:
            if self._executor is not None:
                self._executor.shutdown(wait=True, cancel_futures=True)

    async def _do(self, job: Job) -> None:
        if begin_job(self._state, job.job_id):
            outcome = await self._outcome(job)
            await asyncio.to_thread(self._feed.look_for, job.player_id)
            await self._refresher.refresh(job.player_id)
            ended: JobState = "failed" if "problem" in outcome else "finished"
            end_job(self._state, job.job_id, ended, outcome)
            logger.info("job", extra={"fields": {"job_id": job.job_id, "state": ended}})
        (uploads_dir(self._store) / job.job_id).unlink(missing_ok=True)
        done = self._done.pop(job.job_id, None)
        if done is not None:
            done.set()

    async def _learn(self) -> None:
        """Once nothing waits: learn what players have in common, when enough of them changed."""
        loop = asyncio.get_running_loop()
        learnt = loop.run_in_executor(self._pool(), learn_when_due, self._store)
        await asyncio.wait({learnt})
        if (error := learnt.exception()) is not None:  # the next job brings it again
            logger.error("what the players have in common was not learnt", exc_info=error)
            self._executor = None if isinstance(error, BrokenExecutor) else self._executor

    async def _outcome(self, job: Job) -> Json:
        work, arguments = self._work_of(job)
        loop = asyncio.get_running_loop()
        taken = loop.run_in_executor(self._pool(), work, self._store, *arguments)
        await asyncio.wait({taken})
        error = taken.exception()
        if error is None:
            return taken.result()
        logger.error("a job failed", exc_info=error)
        if isinstance(error, BrokenExecutor):
            self._executor = None
        reason = "The worker could not finish this; nothing was half-written."
        return {"problem": {"code": "worker_failed", "reason": reason, "mend": "Send it again."}}

    def _work_of(self, job: Job) -> tuple[Callable[..., Json], tuple[object, ...]]:
        if job.kind == "answers":
            return import_work.answer_questions, (job.request["import_id"], job.request["answers"])
        body = upload_of(self._state, job.job_id)
        upload = uploads_dir(self._store) / job.job_id if body is None else body
        return import_work.take_in_upload, (job.player_id, upload, job.request)

    def _pool(self) -> Executor:
        if self._executor is None and self._own_process:
            context = multiprocessing.get_context("spawn")
            self._executor = ProcessPoolExecutor(1, context, initializer=import_work.be_polite)
        elif self._executor is None:
            self._executor = ThreadPoolExecutor(1)
        return self._executor
