"""The carry ladder of a player, the gaps in it, and which ball to hit next for it."""

from datetime import datetime
from typing import Annotated, Literal

from fastapi import Query
from pydantic import Field

from analytics.answer import FIT_VERSION
from analytics.carry_ladder import LadderCell, carry_ladder
from analytics.gaps import Gap, gaps
from analytics.next_best_shot import OpenRung, next_best_shot
from api.answering import player_router
from api.deps import Asker, AsOf, OnePlayer
from api.models import AnswerModel, Body, Stamped

router = player_router("carry-ladder")

Rung = Annotated[str, Field(description="Club, and swing length if named.", examples=["SW hip"])]


class RungBody(Body):
    """What one club and swing length carries, from the length alone."""

    club: Annotated[str, Field(description="Kind of club.", examples=["SW"])]
    swing_length: Annotated[
        str | None, Field(description="Name of the swing length; null: none.", examples=["hip"])
    ]
    centre: Annotated[AnswerModel, Field(description="Middle carry of clean strikes, m.")]
    one_shot: Annotated[AnswerModel, Field(description="Where one clean ball lands, m.")]
    with_mishits: Annotated[
        AnswerModel, Field(description="Where one ball lands, mishits counted in, m.")
    ]
    shot_sd: Annotated[
        float, Field(ge=0, description="Ball-to-ball SD of ln carry.", examples=[0.11])
    ]
    day_sd: Annotated[float, Field(ge=0, description="Day-to-day SD of ln carry.", examples=[0.04])]
    n_mishits_coach: Annotated[int, Field(ge=0, description="Marked by a coach.", examples=[1])]
    n_mishits_rule: Annotated[int, Field(ge=0, description="Marked by rule.", examples=[2])]


class LadderBody(Stamped):
    """The ladder, shortest carry first."""

    rungs: Annotated[list[RungBody], Field(description="One per club and swing length.")]


class GapBody(Body):
    """Difference in carry between two neighbouring rungs."""

    shorter: Rung
    longer: Rung
    difference: Annotated[AnswerModel, Field(description="Longer less shorter, m, at 95 %.")]
    judgement: Annotated[
        Literal["clear", "too_wide", "overlap", "not_yet", "too_early"],
        Field(description="What can be said of the gap.", examples=["clear"]),
    ]
    with_mishits: Annotated[
        AnswerModel, Field(description="The same between the middles of all balls, m, at 95 %.")
    ]
    judgement_with_mishits: Annotated[
        Literal["clear", "too_wide", "overlap", "not_yet", "too_early"],
        Field(description="What can be said of the gap of all balls.", examples=["clear"]),
    ]


class GapsBody(Stamped):
    """Gaps between neighbours, shortest pair first."""

    gaps: Annotated[list[GapBody], Field(description="One per pair of neighbours.")]


class OpenRungBody(Body):
    """How far one rung is from clear."""

    rung: Rung
    half_width: Annotated[
        float, Field(ge=0, description="Half of the 90 % band as a share.", examples=[0.09])
    ]
    after_block: Annotated[
        float, Field(ge=0, description="The same after six more balls today.", examples=[0.07])
    ]
    balls: Annotated[int, Field(ge=0, description="Balls until it is clear.", examples=[14])]
    days: Annotated[int, Field(ge=0, description="Days these need at least.", examples=[2])]


class NextShotBody(Stamped):
    """The rung to hit next and what remains."""

    next_rung: Annotated[
        str | None, Field(description="Rung to hit next; null: all clear.", examples=["SW hip"])
    ]
    balls: Annotated[int, Field(ge=0, description="Balls until all are clear.", examples=[30])]
    days: Annotated[int, Field(ge=0, description="Days these need at least.", examples=[2])]
    rungs: Annotated[list[OpenRungBody], Field(description="All rungs, most useful first.")]


@router.get("/carry-ladder", summary="Carry per club and swing length")
async def ladder_of(
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    level: Annotated[
        float, Query(description="Level of the bands.", ge=0.5, le=0.99, examples=[0.9])
    ] = 0.9,
) -> LadderBody:
    """Needs no speed: for a player without a launch device on the day."""
    found = await ask(carry_ladder, player.player_id, level)
    rungs = [rung_body(rung, as_of) for rung in found]
    version = found[0].centre.fit_version if found else FIT_VERSION
    return LadderBody(player_id=player.player_id, as_of=as_of, fit_version=version, rungs=rungs)


@router.get("/carry-gaps", summary="Gaps and overlaps between neighbouring rungs")
async def gaps_of(
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    widest: Annotated[
        float,
        Query(
            description="Gap above which it is too wide, as a share of the shorter carry.",
            ge=0.1,
            le=2,
            examples=[0.35],
        ),
    ] = 0.35,
) -> GapsBody:
    """Of truly equal rungs at most one pair in twenty is called different."""
    found = await ask(gaps, player.player_id, widest)
    bodies = [gap_body(gap, as_of) for gap in found]
    version = found[0].difference.fit_version if found else FIT_VERSION
    return GapsBody(player_id=player.player_id, as_of=as_of, fit_version=version, gaps=bodies)


@router.get("/next-shot", summary="Which ball to hit next for the ladder")
async def next_shot_of(player: OnePlayer, ask: Asker, as_of: AsOf) -> NextShotBody:
    """The rung where one more ball takes most off what is still open. Stop when tired."""
    found = await ask(next_best_shot, player.player_id)
    return NextShotBody(
        player_id=player.player_id,
        as_of=as_of,
        next_rung=found.best.cell.name if found.best else None,
        balls=found.balls,
        days=found.days,
        rungs=[open_rung_body(rung) for rung in found.rungs],
    )


def rung_body(rung: LadderCell, as_of: datetime) -> RungBody:
    """The body of one rung."""
    return RungBody(
        club=rung.club,
        swing_length=rung.swing_length,
        centre=AnswerModel.of(rung.centre, as_of),
        one_shot=AnswerModel.of(rung.one_shot, as_of),
        with_mishits=AnswerModel.of(rung.with_mishits, as_of),
        shot_sd=rung.shot_sd,
        day_sd=rung.day_sd,
        n_mishits_coach=rung.n_coach,
        n_mishits_rule=rung.n_rule,
    )


def gap_body(gap: Gap, as_of: datetime) -> GapBody:
    """The body of one gap."""
    return GapBody(
        shorter=gap.shorter.name,
        longer=gap.longer.name,
        difference=AnswerModel.of(gap.difference, as_of),
        judgement=gap.judgement,
        with_mishits=AnswerModel.of(gap.with_mishits, as_of),
        judgement_with_mishits=gap.judgement_with_mishits,
    )


def open_rung_body(rung: OpenRung) -> OpenRungBody:
    """The body of one rung that may be hit next."""
    return OpenRungBody(
        rung=rung.cell.name,
        half_width=rung.half_width,
        after_block=rung.after_block,
        balls=rung.balls,
        days=rung.days,
    )
