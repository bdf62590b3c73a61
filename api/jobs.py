"""Work that somebody waits for: asked for, followed, finished; kept in the service's own file."""

import json
import secrets
from dataclasses import dataclass
from typing import Any, Literal

from api.access import Caller
from api.errors import not_found
from api.service_state import Row, ServiceState, now

JobState = Literal["waiting", "running", "finished", "failed"]
Json = dict[str, Any]  # a JSON document


@dataclass(frozen=True)
class Job:
    """One piece of work.

    Attributes:
        request: what was asked, as JSON values.
        outcome: what came of it: the import's counts, or the problem.
    """

    job_id: str
    kind: str
    player_id: str
    made_by: str
    state: JobState
    created_at: str
    finished_at: str | None
    request: Json
    outcome: Json | None

    @classmethod
    def of(cls, row: Row) -> "Job":
        """The job of one row."""
        told = {name: row[name] for name in cls.__dataclass_fields__}
        told["request"] = json.loads(row["request"])
        told["outcome"] = None if row["outcome"] is None else json.loads(row["outcome"])
        return cls(**told)

    @property
    def done(self) -> bool:
        """Whether nothing more will come of it."""
        return self.state in {"finished", "failed"}


def new_job_id() -> str:
    """A fresh identity."""
    return "j" + secrets.token_hex(12)


def create_job(
    state: ServiceState,
    *,
    job_id: str,
    kind: str,
    player_id: str,
    caller: Caller,
    request: Json,
    body: bytes | None = None,
) -> Job:
    """Write down a job, with the small upload it is about, before anybody is told of it."""
    created_at = now()
    with state.together():
        state.run(
            "INSERT INTO jobs"
            " VALUES (:id, :kind, :player, :by, 'waiting', :at, NULL, :request, NULL)",
            id=job_id,
            kind=kind,
            player=player_id,
            by=caller.key_id,
            at=created_at,
            request=json.dumps(request),
        )
        if body is not None:
            state.run("INSERT INTO job_uploads VALUES (:id, :body)", id=job_id, body=body)
    return Job(job_id, kind, player_id, caller.key_id, "waiting", created_at, None, request, None)


def upload_of(state: ServiceState, job_id: str) -> bytes | None:
    """The small upload of a job; None for one that waits in a file."""
    row = state.row("SELECT body FROM job_uploads WHERE job_id = :id", id=job_id)
    return None if row is None else bytes(row["body"])


def get_job(state: ServiceState, job_id: str) -> Job:
    """One job by id. Raises Problem 404."""
    row = state.row("SELECT * FROM jobs WHERE job_id = :id", id=job_id)
    if row is None:
        raise not_found("such job")
    return Job.of(row)


def unfinished(state: ServiceState) -> list[Job]:
    """The jobs still to be done, oldest first: also those a stopped service left behind."""
    rows = state.rows(
        "SELECT * FROM jobs WHERE state IN ('waiting', 'running') ORDER BY created_at"
    )
    return [Job.of(row) for row in rows]


def count_unfinished(state: ServiceState) -> int:
    """How many jobs are still to be done."""
    row = state.row("SELECT count(*) AS n FROM jobs WHERE state IN ('waiting', 'running')")
    return 0 if row is None else int(row["n"])


def waiting_of(state: ServiceState, caller: Caller) -> int:
    """How many unfinished jobs a caller has."""
    row = state.row(
        "SELECT count(*) AS n FROM jobs WHERE state IN ('waiting', 'running') AND made_by = :by",
        by=caller.key_id,
    )
    return 0 if row is None else int(row["n"])


def begin_job(state: ServiceState, job_id: str) -> bool:
    """Mark a job as running; False when it is gone meanwhile (its player was erased)."""
    return state.run("UPDATE jobs SET state = 'running' WHERE job_id = :id", id=job_id) == 1


def end_job(state: ServiceState, job_id: str, ended: JobState, outcome: Json) -> None:
    """Write down what came of a job; its upload is not needed any more."""
    with state.together():
        state.run(
            "UPDATE jobs SET state = :state, finished_at = :at, outcome = :outcome"
            " WHERE job_id = :id",
            state=ended,
            at=now(),
            outcome=json.dumps(outcome),
            id=job_id,
        )
        state.run("DELETE FROM job_uploads WHERE job_id = :id", id=job_id)
