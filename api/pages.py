"""The pages for people: mounted beside the API, served by the same process, behind the same gate.

Each `api/pages_<subject>.py` exports `router`; they are found by being there.
"""

from collections.abc import Iterator
from importlib import import_module, resources
from pkgutil import iter_modules

from fastapi import APIRouter, FastAPI

import api
from api.page_cache import PageCache
from api.page_frame import CONTENT_SECURITY_POLICY, problem_page
from api.page_refreshing import PageRefresher
from api.service import Service
from api.static_files import Static


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
        files = Static(str(folder), CONTENT_SECURITY_POLICY)
        app.mount("/static", files, name="static")


def found_pages() -> Iterator[APIRouter]:
    """The `router` of every `api/pages_*.py`, in order of name."""
    for module in iter_modules(api.__path__, "api."):
        if module.name.startswith("api.pages_"):
            router: APIRouter = import_module(module.name).router
            yield router
