"""How far a player's chips run for what they carry."""

from typing import Annotated

from fastapi import Query
from pydantic import Field

from analytics.carry_to_roll import carry_to_roll
from api.answering import player_router
from api.deps import Asker, AsOf, OnePlayer
from api.models import AnswerModel, Body, Stamped

router = player_router("roll-ratios")


class RollRatioBody(Body):
    """Run over carry for one club on one green speed."""

    club: Annotated[str, Field(description="Kind of club.", examples=["PW"])]
    green_speed_ft: Annotated[
        float | None,
        Field(description="Stimpmeter reading, ft; null: not noted.", examples=[10.0]),
    ]
    ratio: Annotated[AnswerModel, Field(description="Total run over total carry.")]
    with_mishits: Annotated[
        AnswerModel, Field(description="The same of all balls, a coach's mishits counted in.")
    ]
    n_mishits: Annotated[int, Field(ge=0, description="Mishits among those.", examples=[0])]
    mean_carry_m: Annotated[float, Field(description="Mean carry, m.", examples=[5.2])]
    mean_run_m: Annotated[float, Field(description="Mean run, m.", examples=[6.1])]
    n_wet: Annotated[int, Field(ge=0, description="Balls on wet greens.", examples=[0])]
    scaled: Annotated[
        bool, Field(description="Whether runs were scaled to this speed.", examples=[False])
    ]
    steady: Annotated[
        bool | None,
        Field(
            description="False: the run does not grow in proportion to the carry, so one ratio "
            "does not hold for short and long alike; null: cannot be said.",
            examples=[True],
        ),
    ]


class RollRatiosBody(Stamped):
    """Ratios by club and green speed."""

    ratios: Annotated[list[RollRatioBody], Field(description="One per club and green speed.")]


@router.get("/roll-ratios", summary="Run over carry per club and green speed")
async def roll_ratios(
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    green_speed_ft: Annotated[
        float | None,
        Query(
            description="Scale every run to this stimpmeter reading, ft.",
            ge=3,
            le=16,
            examples=[10.0],
        ),
    ] = None,
) -> RollRatiosBody:
    """Fieller's interval; days are counted once there are three."""
    found = await ask(carry_to_roll, player.player_id, green_speed_ft)
    bodies = [
        RollRatioBody(
            club=one.club,
            green_speed_ft=one.green_speed_ft,
            ratio=AnswerModel.of(one.ratio, as_of),
            with_mishits=AnswerModel.of(one.with_mishits, as_of),
            n_mishits=one.n_mishits,
            mean_carry_m=one.mean_carry_m,
            mean_run_m=one.mean_run_m,
            n_wet=one.n_wet,
            scaled=one.scaled,
            steady=one.steady,
        )
        for one in found
    ]
    return RollRatiosBody(player_id=player.player_id, as_of=as_of, ratios=bodies)
