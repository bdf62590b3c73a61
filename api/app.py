"""The application: routers found by being there, one gate in front of them."""

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from importlib import import_module, util
from pkgutil import iter_modules

from fastapi import APIRouter, FastAPI
from starlette.middleware.cors import CORSMiddleware
from starlette.middleware.gzip import DEFAULT_EXCLUDED_CONTENT_TYPES, GZipMiddleware

from api import docs_page, errors, openapi, routers
from api.cache import COMPRESS_FROM
from api.gate import Gate
from api.service import Service
from api.settings import Settings

ALREADY_SMALL = ("application/vnd.apache.arrow.stream", "application/vnd.apache.parquet")

ALLOWED_HEADERS = (
    "Authorization",
    "Content-Type",
    "Idempotency-Key",
    "If-Match",
    "If-None-Match",
    "Prefer",
    "X-Request-Id",
)
EXPOSED_HEADERS = (
    "ETag",
    "Idempotent-Replayed",
    "Link",
    "Location",
    "Preference-Applied",
    "RateLimit",
    "RateLimit-Policy",
    "Retry-After",
    "X-Request-Id",
)
"""What an app in a browser may send from a named origin, and what it gets to see."""


def make_app(settings: Settings) -> FastAPI:
    """The service over `settings.store`; opens nothing before its first request."""
    service = Service(settings)

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        service.start()
        try:
            yield
        finally:
            await service.stop()

    app = FastAPI(
        title="carrybook",
        version="1",
        summary="Carry curves, bracketing and landing of short-game players, with intervals.",
        openapi_url=None,
        docs_url=None,
        redoc_url=None,
        redirect_slashes=False,
        lifespan=lifespan,
    )
    app.state.service = service
    service.refresher.app = app
    for router in found_routers():
        app.router.routes.extend(router.routes)
    docs_page.mount(app)
    _mount_pages(app)
    errors.install(app)
    openapi.install(app)
    _add_middleware(app, service)
    return app


def _add_middleware(app: FastAPI, service: Service) -> None:
    """From the inside out: compression, the gate, and CORS only where origins are named."""
    app.add_middleware(
        GZipMiddleware,
        minimum_size=COMPRESS_FROM,
        compresslevel=6,
        exclude_content_types=(*DEFAULT_EXCLUDED_CONTENT_TYPES, *ALREADY_SMALL),
    )
    app.add_middleware(Gate, service=service)
    if service.settings.cors_origins:
        app.add_middleware(
            CORSMiddleware,
            allow_origins=list(service.settings.cors_origins),
            allow_methods=["GET", "POST", "PATCH", "DELETE"],
            allow_headers=list(ALLOWED_HEADERS),
            expose_headers=list(EXPOSED_HEADERS),
        )


def found_routers() -> Iterator[APIRouter]:
    """The `router` of every module in `api/routers`."""
    for module in iter_modules(routers.__path__, f"{routers.__name__}."):
        router: APIRouter = import_module(module.name).router
        yield router


def _mount_pages(app: FastAPI) -> None:
    """The pages for people, when this installation has them: `api/pages.py` with `mount(app)`."""
    if util.find_spec("api.pages") is not None:
        import_module("api.pages").mount(app)
