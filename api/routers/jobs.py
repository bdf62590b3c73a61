"""Jobs: what became of work that was asked for."""

from typing import Annotated, Literal

from fastapi import Path, Request
from pydantic import Field

from api.answering import plain_router
from api.deps import CallerOf, ServiceOf
from api.errors import not_found
from api.jobs import Job
from api.models import Body, PlayerId

router = plain_router("/jobs", "imports", "import")


class JobProblem(Body):
    """Why a job failed."""

    code: Annotated[str, Field(description="Stable code.", examples=["no_layout"])]
    reason: Annotated[str, Field(description="What is wrong.", examples=["No known columns."])]
    mend: Annotated[str, Field(description="What to do.", examples=["Say kind=launch."])]
    file: Annotated[str | None, Field(description="File.", examples=["monday.csv"])] = None
    row: Annotated[int | None, Field(description="1-based line.", examples=[14])] = None
    column: Annotated[str | None, Field(description="Header.", examples=["Carry"])] = None
    value: Annotated[str | None, Field(description="Offending text.", examples=["12,5 yd"])] = None


class JobBody(Body):
    """One job and what came of it."""

    job_id: Annotated[str, Field(description="Its id.", examples=["jcfdc4c8adcdb574cbecf94a2"])]
    kind: Annotated[Literal["import", "answers"], Field(description="What.", examples=["import"])]
    player_id: PlayerId
    state: Annotated[
        Literal["waiting", "running", "finished", "failed"],
        Field(description="How far it is.", examples=["finished"]),
    ]
    created_at: Annotated[str, Field(description="UTC.", examples=["2026-05-04T17:30:00+00:00"])]
    finished_at: Annotated[
        str | None,
        Field(description="UTC; null until it is done.", examples=["2026-05-04T17:30:01+00:00"]),
    ]
    import_id: Annotated[
        str | None,
        Field(description="The import it led to.", examples=["f0350876ed46a72c09019872d3945636"]),
    ] = None
    new: Annotated[
        bool | None, Field(description="False when the store had it already.", examples=[True])
    ] = None
    problem: Annotated[
        JobProblem | None, Field(description="Why it failed; null unless it did.", examples=[None])
    ] = None

    @classmethod
    def of(cls, job: Job) -> "JobBody":
        """The body for one job."""
        names = ("job_id", "kind", "player_id", "state", "created_at", "finished_at")
        told = {name: getattr(job, name) for name in names}
        return cls.model_validate(told | (job.outcome or {}))


@router.get("/{job_id}", summary="Follow a job")
async def get_job(
    job_id: Annotated[
        str,
        Path(
            pattern=r"^j[0-9a-f]{24}$",
            description="Id of a job.",
            examples=["jcfdc4c8adcdb574cbecf94a2"],
        ),
    ],
    service: ServiceOf,
    caller: CallerOf,
    request: Request,
) -> JobBody:
    """How far a job is and what came of it; ask again after a moment until it is done."""
    job = service.job(job_id)
    card = service.players.get(job.player_id)
    if card is None or not caller.sees(card):
        raise not_found("such job")
    request.state.shown = [job.player_id]
    return JobBody.of(job)
