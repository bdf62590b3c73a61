"""The application: routers found by being there, one gate in front of them."""

from collections.abc import Iterator
from importlib import import_module, util
from pkgutil import iter_modules

from fastapi import APIRouter, FastAPI

from api import errors, openapi, routers
from api.gate import Gate
from api.service import Service
from api.settings import Settings


def make_app(settings: Settings) -> FastAPI:
    """The service over `settings.store`; opens nothing before its first request."""
    service = Service(settings)
    app = FastAPI(
        title="carrybook",
        version="1",
        summary="Carry curves, bracketing and landing of short-game players, with intervals.",
        docs_url=None,
        redoc_url=None,
        redirect_slashes=False,
    )
    app.state.service = service
    for router in found_routers():
        app.router.routes.extend(router.routes)
    _mount_pages(app)
    errors.install(app)
    openapi.install(app)
    app.add_middleware(Gate, service=service)
    return app


def found_routers() -> Iterator[APIRouter]:
    """The `router` of every module in `api/routers`."""
    for module in iter_modules(routers.__path__, f"{routers.__name__}."):
        router: APIRouter = import_module(module.name).router
        yield router


def _mount_pages(app: FastAPI) -> None:
    """The pages for people, when this installation has them: `api/pages.py` with `mount(app)`."""
    if util.find_spec("api.pages") is not None:
        import_module("api.pages").mount(app)
