"""What changed for a player since a fitting."""

from datetime import date
from typing import Annotated, Literal

from fastapi import Query
from pydantic import Field

from analytics.carry_trend import carry_trends
from analytics.since_last_fitting import since_last_fitting
from api.answering import player_router
from api.deps import Asker, AsOf, OnePlayer
from api.models import AnswerModel, Body, Stamped

router = player_router("since-fitting")


class ChangeBody(Body):
    """After less before, sessions against sessions."""

    club: Annotated[
        str | None, Field(description="Kind of club; null: all together.", examples=["SW"])
    ]
    measure: Annotated[
        Literal["carry", "spread", "mishits"],
        Field(
            description="Carry at the same speed, spread from ball to ball, mishit share.",
            examples=["carry"],
        ),
    ]
    change: Annotated[
        AnswerModel,
        Field(description="As a share: 0.05 is 5 % more; for mishits the difference of shares."),
    ]
    verdict: Annotated[
        Literal["changed", "no_change_seen", "leaning", "too_early"],
        Field(description="What can be said.", examples=["no_change_seen"]),
    ]
    n_before: Annotated[int, Field(ge=0, description="Days before.", examples=[4])]
    n_after: Annotated[int, Field(ge=0, description="Days since.", examples=[3])]


class TrendBody(Body):
    """Drift of carry at the same speed."""

    club: Annotated[str, Field(description="Kind of club.", examples=["SW"])]
    per_month: Annotated[
        AnswerModel, Field(description="Change per 30 days as a share: 0.01 is 1 % more.")
    ]


class SinceFittingBody(Stamped):
    """All that was looked at, false discoveries controlled over it."""

    fitted_on: Annotated[date, Field(description="First day that counts as since.")]
    changes: Annotated[list[ChangeBody], Field(description="One per club and measure.")]
    trends: Annotated[
        list[TrendBody], Field(description="Over all days, per club hit on three days or more.")
    ]


@router.get("/since-fitting", summary="What changed since a day")
async def since_fitting(
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    day: Annotated[date, Query(description="Day of the last fitting.", examples=["2026-04-01"])],
) -> SinceFittingBody:
    """Sessions before the day against those on it and after; at least three on each side."""
    found = await ask(since_last_fitting, player.player_id, day)
    bodies = [
        ChangeBody(
            club=one.club,
            measure=one.measure,
            change=AnswerModel.of(one.change, as_of),
            verdict=one.verdict,
            n_before=one.n_before,
            n_after=one.n_after,
        )
        for one in found
    ]
    trends = [
        TrendBody(club=trend.club, per_month=AnswerModel.of(trend.per_month, as_of))
        for trend in await ask(carry_trends, player.player_id)
    ]
    return SinceFittingBody(
        player_id=player.player_id, as_of=as_of, fitted_on=day, changes=bodies, trends=trends
    )
