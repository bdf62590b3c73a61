"""Scored tests: their history with the real-change line, and sittings sent in."""

from datetime import date
from pathlib import Path
from typing import Annotated, Literal

from fastapi import APIRouter, Query
from pydantic import Field

from analytics.db import Connection
from analytics.score_history import StationStanding
from analytics.scored_rules import find_rules, known_rules
from analytics.scored_test import Ball, score
from analytics.scores import ScoreHistory, played_tests, score_history
from api.answering import plain_router, player_router
from api.deps import Asker, AsOf, OnePlayer, ServiceOf, Store
from api.entries import Entered, enter_rows
from api.models import AnswerModel, Body, Stamped
from api.score_entry import score_rows
from api.short_game_bodies import At, EntryId, KeptBody, player_of
from ingest.players import Player

answers = player_router("test-scores")
entries = plain_router("/players/{player_id}/test-scores", "test-scores", "import")

NAMED = r"^[a-z][a-z0-9_]{1,40}(@[1-9][0-9]{0,3})?$"
TestName = Annotated[
    str,
    Field(
        pattern=NAMED,
        description="Test as name@version, or its name: one of GET /v1/tests.",
        examples=["nine_station_hole_out@1"],
    ),
]


class SittingBody(Body):
    """One complete sitting."""

    attempt_id: Annotated[str, Field(description="The sitting.", examples=["a1"])]
    day: Annotated[date, Field(description="Local day.", examples=["2026-05-04"])]
    total: Annotated[float, Field(description="Total of the test.", examples=[23])]


class LeftOutBody(Body):
    """A sitting that is not compared, and why."""

    attempt_id: Annotated[str, Field(description="The sitting.", examples=["a2"])]
    reason: Annotated[str, Field(description="Why.", examples=["8 of 9 stations"])]


class StationBody(Body):
    """One station: seen, and to be expected next time once luck is taken out."""

    station: Annotated[int, Field(description="Number.", examples=[5])]
    text: Annotated[str, Field(description="Lie and distance.", examples=["downslope"])]
    n: Annotated[int, Field(ge=1, description="Sittings.", examples=[6])]
    seen: Annotated[float, Field(description="Mean seen.", examples=[2.9])]
    expected: Annotated[float, Field(description="Expected next time.", examples=[2.5])]
    expected_sd: Annotated[float, Field(ge=0, description="Its doubt, one SD.", examples=[0.3])]

    @classmethod
    def of(cls, one: StationStanding) -> "StationBody":
        """The body for a station."""
        return cls(**{name: getattr(one, name) for name in cls.model_fields})


class TestBody(Body):
    """The history of one test."""

    test: Annotated[str, Field(description="name@version.", examples=["gate_twenty@1"])]
    title: Annotated[str, Field(description="Title.", examples=["Gate Twenty"])]
    measure: Annotated[
        Literal["strokes", "points", "hits"],
        Field(description="What the total is.", examples=["hits"]),
    ]
    target: Annotated[float, Field(description="Target of the test.", examples=[14])]
    sittings: Annotated[list[SittingBody], Field(description="Complete sittings, oldest first.")]
    left_out: Annotated[list[LeftOutBody], Field(description="Sittings not compared.")]
    real_change: Annotated[
        float,
        Field(gt=0, description="Two totals differ for sure only from here on.", examples=[6]),
    ]
    difference: Annotated[float, Field(description="Last less the one before.", examples=[-2])]
    verdict: Annotated[
        Literal["better", "worse", "no change seen", "too early"],
        Field(description="What the last sitting says.", examples=["no change seen"]),
    ]
    target_chance: Annotated[
        AnswerModel | None, Field(description="Chance to reach the target next time.")
    ]
    stations: Annotated[list[StationBody], Field(description="The costliest first.")]
    stations_differ: Annotated[
        bool, Field(description="Whether stations differ beyond luck.", examples=[False])
    ]


class TestScoresBody(Stamped):
    """Every test the player has played."""

    tests: Annotated[list[TestBody], Field(description="One per test.")]


@answers.get("/test-scores", summary="Scored tests")
async def get_scores(
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    store: Store,
    test: Annotated[
        str | None,
        Query(
            pattern=NAMED,
            description="Only this test: its name, or name@version.",
            examples=["gate_twenty"],
        ),
    ] = None,
) -> TestScoresBody:
    """Totals, what changed against the real-change line, the target's chance, the stations."""
    told = await ask(_histories, player_of(player), test, store)
    tests = [
        TestBody(
            test=one.rules.key,
            title=one.rules.title,
            measure=one.rules.measure,
            target=one.rules.target,
            sittings=[SittingBody.model_validate(s, from_attributes=True) for s in one.sittings],
            left_out=[LeftOutBody.model_validate(s, from_attributes=True) for s in one.left_out],
            real_change=one.noise.real_change,
            difference=one.change.difference,
            verdict=one.change.verdict,
            target_chance=AnswerModel.of(one.target_chance, as_of) if one.target_chance else None,
            stations=[StationBody.of(s) for s in one.stations.stations] if one.stations else [],
            stations_differ=bool(one.stations and one.stations.any_real),
        )
        for one in told
    ]
    return TestScoresBody(player_id=player.player_id, as_of=as_of, tests=tests)


def _histories(
    connection: Connection, who: Player, test: str | None, store: Path
) -> list[ScoreHistory]:
    known = known_rules(store, who.coach)
    played = [key for key in played_tests(connection, who.player_id) if key in known]
    wanted = [find_rules(test, known)] if test is not None else [known[key] for key in played]
    return [score_history(connection, who.player_id, rules) for rules in wanted]


class BallBody(Body):
    """One station of a sitting; which members are needed depends on the test."""

    station: Annotated[int, Field(ge=1, le=200, description="Number.", examples=[1])]
    strokes: Annotated[
        int | None, Field(ge=1, le=20, description="Strokes, chip included.", examples=[2])
    ] = None
    leave_m: Annotated[
        float | None, Field(ge=0, le=60, description="Left after the chip, m.", examples=[1.2])
    ] = None
    leave_bearing_deg: Annotated[
        float | None,
        Field(ge=0, le=360, description="From straight below, clockwise.", examples=[20]),
    ] = None
    hit: Annotated[bool | None, Field(description="Hit or miss.", examples=[True])] = None
    judged: Annotated[
        tuple[bool, ...],
        Field(max_length=10, description="Yes or no to each question.", examples=[[]]),
    ] = ()


class SentSitting(Body):
    """One complete sitting of a test."""

    test: TestName
    attempt_id: EntryId
    at_utc: At
    balls: Annotated[
        list[BallBody], Field(min_length=1, max_length=200, description="In order of play.")
    ]


class KeptSitting(KeptBody):
    """A sitting in the store with its total."""

    total: Annotated[float, Field(description="Total of the sitting.", examples=[23])]
    complete: Annotated[
        bool, Field(description="False: stations lack, it is not compared.", examples=[True])
    ]


@entries.post("", summary="Send a sitting", status_code=201)
async def post_sitting(player: OnePlayer, sent: SentSitting, service: ServiceOf) -> KeptSitting:
    """Keep one sitting, scored by the rules of its test; sent twice it is stored once."""
    store, who = service.settings.store, player_of(player)
    rules = find_rules(sent.test, known_rules(store, who.coach))
    attempt = score(rules, [_ball(ball) for ball in sent.balls])
    rows = score_rows(attempt, sent.attempt_id, sent.at_utc)
    entered: Entered = await service.runner.run(enter_rows, store, who, "scores", rows)
    kept = KeptBody.of(entered)
    return KeptSitting(**kept.model_dump(), total=attempt.total, complete=attempt.complete)


def _ball(sent: BallBody) -> Ball:
    return Ball(**sent.model_dump())


router = APIRouter()
router.routes.extend([*answers.routes, *entries.routes])
