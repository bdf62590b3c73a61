"""Whether the service lives and can answer."""

from typing import Annotated, Literal

from fastapi import APIRouter
from pydantic import Field

from api.deps import ServiceOf
from api.errors import Problem
from api.models import Body

router = APIRouter(tags=["health"])


class HealthBody(Body):
    """A sign of life."""

    status: Annotated[Literal["ok"], Field(description="Always ok.", examples=["ok"])] = "ok"


@router.get("/healthz", summary="Alive")
async def healthz() -> HealthBody:
    """Answers as long as the process does; touches nothing."""
    return HealthBody()


@router.get("/readyz", summary="Ready")
async def readyz(service: ServiceOf) -> HealthBody:
    """Answers ok when the store can be read."""
    if not service.settings.store.is_dir():
        raise Problem(
            503, "store_missing", "The store is not there.", "Start with an existing --store."
        )
    return HealthBody()
