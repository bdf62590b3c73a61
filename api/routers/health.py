"""Whether the service lives and can answer, and figures about itself."""

from typing import Annotated, Literal

from fastapi import APIRouter, Request
from prometheus_client import CONTENT_TYPE_LATEST
from pydantic import Field
from starlette.responses import Response

from api.deps import ServiceOf, caller_of
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
    """Answers ok when the store is there and the service's own file can be written."""
    if not service.settings.store.is_dir():
        raise Problem(
            503, "store_missing", "The store is not there.", "Start with an existing --store."
        )
    with service.state.together():
        pass  # a write lock was taken and given back
    return HealthBody()


@router.get("/metrics", include_in_schema=False)
async def metrics(request: Request, service: ServiceOf) -> Response:
    """Figures for Prometheus: for the owner's machine, or a key that may manage."""
    if not caller_of(request).may("manage"):
        raise Problem(403, "scope_missing", "This needs the scope manage.", "Use another key.")
    return Response(service.metrics.text(), media_type=CONTENT_TYPE_LATEST)
