"""Scored tests by their rules: those that come along and a coach's own, as versioned data."""

from typing import Annotated

from fastapi import Depends, Path, Query, Response

from analytics.scored_test import Rules
from api.access import Caller
from api.answering import plain_router
from api.deps import CallerOf, Needs, ServiceOf
from api.own_tests import (
    Maker,
    coaches_seen,
    every_version,
    make_test,
    make_version,
    may_make,
    meant_test,
    newest_versions,
)
from api.scored_test_bodies import NewTest, ScoredTestBody, ScoredTestsBody, TestRules
from api.service import Service

router = plain_router("/tests", "tests", "read:profiles")
MAY_MAKE = [Depends(Needs("import"))]
TestName = Annotated[
    str,
    Path(
        pattern=r"^[a-z][a-z0-9_]{1,40}$", description="Name of a test.", examples=["pitch_ladder"]
    ),
]
TestKey = Annotated[
    str,
    Path(
        pattern=r"^[a-z][a-z0-9_]{1,40}(@[1-9][0-9]{0,3})?$",
        description="A test: its name (the newest version) or name@version.",
        examples=["gate_twenty@1"],
    ),
]


@router.get("", summary="Scored tests there are")
async def list_tests(
    service: ServiceOf,
    caller: CallerOf,
    versions: Annotated[
        bool,
        Query(alias="every_version", description="Older versions too.", examples=[False]),
    ] = False,
) -> ScoredTestsBody:
    """Those that come along and the coach's own, each with its rules."""
    coaches = coaches_seen(caller, service.players)
    listed = await service.runner.run(every_version, service.settings.store, coaches)
    shown = listed if versions else newest_versions(listed)
    return ScoredTestsBody(items=[ScoredTestBody.of(one.rules, coach=one.coach) for one in shown])


@router.post("", summary="Make a scored test", status_code=201, dependencies=MAY_MAKE)
async def post_test(
    wanted: NewTest, service: ServiceOf, caller: CallerOf, response: Response
) -> ScoredTestBody:
    """A test of the coach's own, in version 1; the same rules again change nothing."""
    return await _made(make_test, wanted.named(wanted.name), (service, caller), response)


@router.get("/{test}", summary="The rules of a test")
async def get_test(
    test: TestKey,
    service: ServiceOf,
    caller: CallerOf,
    seed: Annotated[
        int, Query(ge=0, le=2**31 - 1, description="Decides what is drawn.", examples=[7])
    ] = 0,
    coach: Annotated[
        str | None,
        Query(
            max_length=80,
            description="Whose test, where coaches share a name; empty: everybody's.",
            examples=[""],
        ),
    ] = None,
) -> ScoredTestBody:
    """One version, and the stations to play; the same seed draws the same ones.

    Where coaches have tests of one name, the asking coach's own is meant unless `coach` says whose.
    """
    coaches = coaches_seen(caller, service.players)
    found = await service.runner.run(meant_test, service.settings.store, test, coaches, coach)
    return ScoredTestBody.of(found.rules, seed, found.coach)


@router.post("/{name}/versions", summary="Change a test", status_code=201, dependencies=MAY_MAKE)
async def post_version(
    name: TestName, wanted: TestRules, service: ServiceOf, caller: CallerOf, response: Response
) -> ScoredTestBody:
    """The next version of a test; scores of older versions stay what they are."""
    return await _made(make_version, wanted.named(name), (service, caller), response)


async def _made(
    make: Maker, wanted: Rules, asked: tuple[Service, Caller], response: Response
) -> ScoredTestBody:
    service, caller = asked
    may_make(caller)
    made = await service.runner.run(make, service.settings.store, caller.coach, wanted)
    response.headers["Location"] = f"/v1/tests/{made.key}"
    coaches = coaches_seen(caller, service.players)
    found = await service.runner.run(meant_test, service.settings.store, made.key, coaches, None)
    return ScoredTestBody.of(made, coach=found.coach)
