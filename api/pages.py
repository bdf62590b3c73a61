"""The pages for people: mounted beside the API, served by the same process, behind the same gate.

Each `api/pages_<subject>.py` exports `router`; they are found by being there.
"""

from collections.abc import Iterator
from importlib import import_module, resources
from pkgutil import iter_modules

from fastapi import APIRouter, FastAPI
from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

import api
from api.page_cache import PageCache
from api.page_frame import CONTENT_SECURITY_POLICY, problem_page
from api.page_refreshing import PageRefresher
from api.service import Service

STATIC_CACHE = "public, max-age=3600"


class Static(StaticFiles):
    """Files that come with the product, kept by the browser for an hour."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """The file with the headers all pages have."""
        response = await super().get_response(path, scope)
        response.headers["Cache-Control"] = STATIC_CACHE
        response.headers["Content-Security-Policy"] = CONTENT_SECURITY_POLICY
        if path == "worker.js":
            response.headers["Service-Worker-Allowed"] = "/"
            response.headers["Cache-Control"] = "no-cache"
        return response


def mount(app: FastAPI) -> None:
    """Add every page, and the files they use."""
    app.state.problem_page = problem_page
    service: Service = app.state.service
    app.state.page_cache = PageCache()
    refresher = PageRefresher(service, app.state.page_cache)
    service.refresher.also.append(refresher.nudge)
    service.loops.append(refresher.run)
    for router in found_pages():
        app.router.routes.extend(router.routes)
    with resources.as_file(resources.files("api").joinpath("static")) as folder:
        app.mount("/static", Static(directory=folder), name="static")


def found_pages() -> Iterator[APIRouter]:
    """The `router` of every `api/pages_*.py`, in order of name."""
    for module in iter_modules(api.__path__, "api."):
        if module.name.startswith("api.pages_"):
            router: APIRouter = import_module(module.name).router
            yield router
