"""Many exports prepared ahead of their turn by a few worker processes.

What a worker cannot settle alone (a large file, one that cannot be read) it leaves to the caller,
who then meets the same error in the file's own turn. If processes cannot be started at all, every
file is left to the caller: slower, with the same result.
"""

import os
from collections import deque
from collections.abc import Generator, Sequence
from concurrent.futures import BrokenExecutor, Future, ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path

from ingest.errors import IngestError
from ingest.import_large import is_large
from ingest.ledger_entry import Arrival, options_text
from ingest.options import Options
from ingest.players import Player
from ingest.prepare import Prepared, options_for, prepare, staged
from ingest.provenance import utc_now
from ingest.store import file_sha256

FILES_WORTH_WORKERS = 400
MOST_WORKERS = 4
FILES_PER_JOB = 8
JOBS_AHEAD = 3

Job = Sequence[Path | bytes]
Found = list[Prepared | None]


def prepared_ahead(
    store: Path, sources: Sequence[Path | bytes], player: Player, options: Options | None
) -> Generator[Prepared | None]:
    """For each source in order what `prepare` makes of it, or None where that is left to do.

    Take it to its end or close it: what was prepared and not taken is then removed.
    """
    n_workers = min(len(os.sched_getaffinity(0)), MOST_WORKERS)
    if len(sources) < FILES_WORTH_WORKERS or n_workers < 2:
        yield from (None for _ in sources)
        return
    jobs = [sources[at : at + FILES_PER_JOB] for at in range(0, len(sources), FILES_PER_JOB)]
    plain = options or Options()
    plain = replace(plain, units=dict(plain.units), answers=dict(plain.answers))
    with ProcessPoolExecutor(
        n_workers, mp_context=get_context("spawn"), initializer=_one_thread_each
    ) as pool:
        results = _in_order(pool, jobs, (store, player, plain), n_workers * JOBS_AHEAD)
        waiting: Found = []
        try:
            for waiting in results:
                while waiting:
                    yield waiting.pop(0)
        finally:
            results.close()
            _discard(waiting)


def _in_order(
    pool: ProcessPoolExecutor, jobs: Sequence[Job], told: tuple[Path, Player, Options], n: int
) -> Generator[Found]:
    coming: deque[tuple[Job, Future[Found] | None]] = deque()
    try:
        for job in jobs:
            coming.append((job, _submitted(pool, job, told)))
            if len(coming) > n:
                yield _result(*coming.popleft())
        while coming:
            yield _result(*coming.popleft())
    finally:
        for job, future in coming:
            if future is not None and not future.cancel():
                _discard(_result(job, future))


def _discard(found: Found) -> None:
    for prepared in filter(None, found):
        prepared.discard()


def _submitted(
    pool: ProcessPoolExecutor, job: Job, told: tuple[Path, Player, Options]
) -> Future[Found] | None:
    try:
        return pool.submit(_prepare_some, job, *told)
    except BrokenExecutor:
        return None


def _result(job: Job, future: Future[Found] | None) -> Found:
    try:
        return future.result() if future is not None else [None for _ in job]
    except BrokenExecutor:
        return [None for _ in job]


def _one_thread_each() -> None:
    """Short files gain nothing from more threads, and the other workers need the cores."""
    os.environ["POLARS_MAX_THREADS"] = "1"


def _prepare_some(job: Job, store: Path, player: Player, options: Options) -> Found:
    return [_prepare_one(store, source, player, options) for source in job]


def _prepare_one(
    store: Path, source: Path | bytes, player: Player, options: Options
) -> Prepared | None:
    if isinstance(source, bytes) or not source.is_file() or is_large(source):
        return None
    try:
        given = options_for(player, options)
        arrival = Arrival(
            source.name, source, file_sha256(source), player.player_id, options_text(given),
            utc_now(),
        )  # fmt: skip
        return staged(store, prepare(arrival, given), source)
    except (IngestError, OSError):
        return None
