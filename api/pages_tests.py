"""The scored tests there are, and a coach's own: made, looked at, changed by a new version."""

from collections.abc import Mapping
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from analytics.errors import AnalyticsError
from analytics.scored_test import Rules
from api.own_test_form import AWARDS, QUESTIONS, fields_of, rules_of
from api.own_tests import (
    coaches_seen,
    every_version,
    is_own,
    make_test,
    make_version,
    may_make,
    meant_test,
    newest_versions,
)
from api.page_frame import Reader, ReaderOf, page_router
from ingest.errors import IngestError

router = page_router()
NEW = {"measure": "strokes", "order": "fixed"}


@router.get("/tests")
async def every_test(reader: ReaderOf, made: Annotated[str, Query(max_length=60)] = "") -> Response:
    """Every test with its rules, and a form for another one."""
    return _page(reader, NEW, made=made)


@router.get("/tests/{name}/change")
async def change(reader: ReaderOf, name: str) -> Response:
    """The form filled with the newest version of a test."""
    rules = _meant(reader, name)
    return _page(reader, fields_of(rules, reader.view), changing=rules)


@router.post("/tests")
async def make(reader: ReaderOf) -> Response:
    """Keep a test, or with a `name` its next version; a refusal keeps what was typed."""
    fields = await reader.form()
    reader.needs("import")
    may_make(reader.caller)
    changing = fields.get("name", "")
    try:
        wanted = rules_of(fields, reader.view)
        maker = make_version if changing else make_test
        store, coach = reader.service.settings.store, reader.caller.coach
        kept = await reader.service.runner.run(maker, store, coach, wanted)
    except (AnalyticsError, IngestError) as refused:
        rules = _meant(reader, changing) if changing else None
        return _page(reader, fields, changing=rules, refused=refused)
    return reader.go(f"/tests?made={kept.key}#{kept.name}")


def _meant(reader: Reader, name: str) -> Rules:
    coaches = coaches_seen(reader.caller, reader.service.players)
    return meant_test(reader.service.settings.store, name, coaches, None).rules


def _page(
    reader: Reader,
    fields: Mapping[str, str],
    *,
    changing: Rules | None = None,
    refused: AnalyticsError | IngestError | None = None,
    made: str = "",
) -> Response:
    coaches = coaches_seen(reader.caller, reader.service.players)
    listed = newest_versions(every_version(reader.service.settings.store, coaches))
    listed.sort(key=lambda one: (not is_own(one.rules), one.rules.title))
    return reader.page(
        "tests.html",
        "tests",
        status=422 if refused else 200,
        tests=listed,
        own={one.rules.name for one in listed if is_own(one.rules)},
        fields=fields,
        changing=changing,
        refused=refused,
        made=next((one.rules for one in listed if one.rules.key == made), None),
        awards=AWARDS,
        questions=range(QUESTIONS),
    )
