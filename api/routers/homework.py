"""Homework: what was given and what came of it; proposals made from what is open."""

from datetime import date, datetime
from typing import Annotated, Literal

from fastapi import APIRouter, Path, Query
from pydantic import Field

from analytics.homework import GivenHomework
from analytics.open_points import OpenPoints, open_points
from analytics.practice_plan import Homework, PracticePlan, plan_practice
from api.answering import plain_router, player_router
from api.deps import Asker, AsOf, OnePlayer, ServiceOf
from api.entries import Entered
from api.homework_entry import Report, caution_sentences, give, given_homework, report
from api.models import Body, Stamped
from api.short_game_bodies import EntryId, KeptBody, player_of

answers = player_router("homework")
entries = plain_router("/players/{player_id}/homework", "homework", "import")

Outcome = Literal["done", "part", "not_done", "dropped"]


class PieceBody(Body):
    """One piece of homework."""

    focus: Annotated[str, Field(max_length=40, description="What it trains.", examples=["leave"])]
    title: Annotated[
        str, Field(min_length=1, max_length=120, description="Name.", examples=["Leave it below"])
    ]
    task: Annotated[
        str, Field(max_length=600, description="What to do.", examples=["Chip to one hole."])
    ]
    why: Annotated[
        str, Field(max_length=400, description="Why.", examples=["chips finish above the hole"])
    ]
    blocks: Annotated[int, Field(ge=1, le=50, description="Blocks.", examples=[3])]
    balls_per_block: Annotated[int, Field(ge=1, le=200, description="Balls each.", examples=[9])]
    stop_rule: Annotated[
        str, Field(max_length=400, description="When to stop.", examples=["after nine balls"])
    ]
    target_text: Annotated[
        str, Field(max_length=200, description="What counts as reached.", examples=["7 of 27"])
    ]
    test: Annotated[
        str,
        Field(max_length=80, description="Scored test.", examples=["nine_station_low_side@1"]),
    ]
    club: Annotated[
        str | None, Field(max_length=8, description="Kind of club.", examples=["SW"])
    ] = None


class GivenBody(Body):
    """A piece that was given, with what came of it."""

    homework_id: Annotated[str, Field(description="Its id.", examples=["86cdf6fd0a1b2c3d"])]
    set_at_utc: Annotated[
        datetime, Field(description="When it was given, UTC.", examples=["2026-05-04T17:30:00Z"])
    ]
    due_day: Annotated[date | None, Field(description="Due.", examples=["2026-05-11"])]
    focus: Annotated[str | None, Field(description="What it trains.", examples=["leave"])]
    title: Annotated[str | None, Field(description="Name.", examples=["Leave it below"])]
    task: Annotated[str | None, Field(description="What to do.", examples=["Chip to one hole."])]
    club: Annotated[str | None, Field(description="Kind of club.", examples=["SW"])]
    test: Annotated[str | None, Field(description="Scored test.", examples=["gate_twenty@1"])]
    blocks: Annotated[int | None, Field(description="Blocks.", examples=[3])]
    balls_per_block: Annotated[int | None, Field(description="Balls each.", examples=[9])]
    stop_rule: Annotated[str | None, Field(description="When to stop.", examples=["after nine"])]
    target_text: Annotated[str | None, Field(description="Reached when.", examples=["7 of 27"])]
    why: Annotated[str | None, Field(description="Why.", examples=["misses above the hole"])]
    outcome: Annotated[
        Outcome | None, Field(description="What came of it; null while open.", examples=["done"])
    ]
    reported_at_utc: Annotated[
        datetime | None, Field(description="Last report, UTC.", examples=["2026-05-10T17:30:00Z"])
    ]
    balls_done: Annotated[int, Field(ge=0, description="Balls reported.", examples=[27])]
    n_reports: Annotated[int, Field(ge=0, description="Reports.", examples=[1])]

    @classmethod
    def of(cls, one: GivenHomework) -> "GivenBody":
        """The body for a piece."""
        return cls.model_validate(one, from_attributes=True)


class HomeworkBody(Stamped):
    """All homework of a player, what is open first."""

    homework: Annotated[list[GivenBody], Field(description="Pieces.")]


class ProposalBody(Stamped):
    """Homework made from what is open; nothing is written."""

    pieces: Annotated[list[PieceBody], Field(description="Pieces, the focus first.")]
    balls: Annotated[int, Field(ge=0, description="All balls.", examples=[36])]
    cap: Annotated[int, Field(ge=0, description="Most balls of one day.", examples=[90])]
    rest_every: Annotated[int, Field(ge=1, description="Balls between rests.", examples=[30])]
    cautions: Annotated[list[str], Field(description="To be read before practice.")]


class GiveBody(Body):
    """Homework to be given."""

    pieces: Annotated[list[PieceBody], Field(min_length=1, max_length=20, description="Pieces.")]
    due_day: Annotated[date | None, Field(description="Due.", examples=["2026-05-11"])] = None
    by: Annotated[str | None, Field(max_length=40, description="Who.", examples=["Mora"])] = None


class ReportBody(Body):
    """What came of a piece."""

    entry_id: EntryId
    outcome: Annotated[Outcome, Field(description="What came of it.", examples=["done"])]
    balls_done: Annotated[
        int | None, Field(ge=0, le=5000, description="Balls hit for it.", examples=[27])
    ] = None
    note: Annotated[
        str | None, Field(max_length=500, description="Anything else.", examples=["windy"])
    ] = None


@answers.get("/homework", summary="Homework")
async def get_homework(player: OnePlayer, ask: Asker, as_of: AsOf) -> HomeworkBody:
    """What was given and what came of it, what is open first."""
    given = await ask(given_homework, player.player_id)
    bodies = [GivenBody.of(one) for one in given]
    return HomeworkBody(player_id=player.player_id, as_of=as_of, homework=bodies)


@answers.get("/homework/proposal", summary="Propose homework")
async def get_proposal(
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    cap: Annotated[
        int | None, Query(ge=9, le=300, description="Most balls of one day.", examples=[60])
    ] = None,
) -> ProposalBody:
    """From what is open with the player, under a cap of balls, with its cautions."""
    found: OpenPoints = await ask(open_points, player.player_id)
    plan: PracticePlan = plan_practice(found.points, found.missing, player_of(player).age_band, cap)
    return ProposalBody(
        player_id=player.player_id,
        as_of=as_of,
        pieces=[PieceBody.model_validate(p, from_attributes=True) for p in plan.pieces],
        balls=plan.balls,
        cap=plan.cap,
        rest_every=plan.rest_every,
        cautions=caution_sentences(plan),
    )


@entries.post("", summary="Give homework", status_code=201)
async def post_homework(player: OnePlayer, sent: GiveBody, service: ServiceOf) -> KeptBody:
    """Give pieces of homework, proposed or of one's own."""
    store, who = service.settings.store, player_of(player)
    pieces = [Homework(**piece.model_dump()) for piece in sent.pieces]

    def work() -> Entered:
        return give(store, who, pieces, by=sent.by, due=sent.due_day)

    return KeptBody.of(await service.runner.run(work))


@entries.post("/{homework_id}/reports", summary="Report on homework", status_code=201)
async def post_report(
    player: OnePlayer,
    homework_id: Annotated[
        str,
        Path(pattern=r"^[0-9a-f]{4,64}$", description="The piece.", examples=["86cdf6fd0a1b2c3d"]),
    ],
    sent: ReportBody,
    service: ServiceOf,
) -> KeptBody:
    """Say what came of a piece; its id may be shortened while it stays unmistakable."""
    store, who = service.settings.store, player_of(player)
    said = Report(homework_id, sent.outcome, sent.balls_done, sent.note, sent.entry_id)

    def work() -> Entered:
        return report(store, who, said)

    return KeptBody.of(await service.runner.run(work))


router = APIRouter()
router.routes.extend([*answers.routes, *entries.routes])
