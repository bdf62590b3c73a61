"""Query parameters nobody asked for are refused: a misspelt filter would answer everything."""

from collections.abc import Iterator
from difflib import get_close_matches
from typing import get_args, get_origin

from fastapi import Request
from fastapi.dependencies.models import Dependant
from fastapi.routing import APIRoute
from pydantic import BaseModel

from api.errors import Problem


async def only_known(request: Request) -> None:
    """Raises Problem 422 for a parameter this operation does not take, or takes only once.

    Whoever opens a share link is let off: messengers add parameters of their own to a link.
    """
    if not request.scope["query_string"] or request.scope["state"].get("by_link"):
        return
    known = parameters_of(request.scope["route"])
    asked = [name for name, _ in request.query_params.multi_items()]
    for name in dict.fromkeys(asked):
        if name not in known:
            raise unknown(name, list(known))
        if not known[name] and asked.count(name) > 1:
            mend = f"Give {name} once; ask once more for each further value."
            raise Problem(
                422, "parameter_repeated", f"{name} is said {asked.count(name)} times.", mend
            )


def parameters_of(route: APIRoute) -> dict[str, bool]:
    """The query parameters of a route, and whether each may be repeated."""
    return dict(_parameters(route.dependant))


def _parameters(dependant: Dependant) -> Iterator[tuple[str, bool]]:
    for field in dependant.query_params:
        kind = field.field_info.annotation
        if isinstance(kind, type) and issubclass(kind, BaseModel):  # its members are parameters
            for name, member in kind.model_fields.items():
                yield member.alias or name, _many(member.annotation)
        else:
            yield field.alias, _many(kind)
    for below in dependant.dependencies:
        yield from _parameters(below)


def _many(annotation: object) -> bool:
    return any(list in (kind, get_origin(kind)) for kind in (annotation, *get_args(annotation)))


def unknown(name: str, known: list[str]) -> Problem:
    """The answer to a parameter that an operation does not take."""
    near = get_close_matches(name, known, 1)
    hint = f"Did you mean {near[0]}? " if near else ""
    takes = f"This operation takes {', '.join(sorted(known))}." if known else "It takes none here."
    shown = name[:60]
    return Problem(422, "unknown_parameter", f"There is no parameter {shown} here.", hint + takes)
