"""Which methods a path takes, over all routes of the application."""

from starlette.routing import Match, Route
from starlette.types import Scope


def methods_of(scope: Scope) -> list[str]:
    """Every method the path of `scope` takes, in order; empty when there is no such path."""
    found: set[str] = set()
    for route in scope["app"].routes:
        if isinstance(route, Route) and route.matches(scope)[0] != Match.NONE:
            found |= route.methods or set()
    if "GET" in found:
        found.add("HEAD")
    return sorted(found | {"OPTIONS"}) if found else []
