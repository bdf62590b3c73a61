"""Planning a chip: which club, landing spot and start line, and how much better."""

from typing import Annotated

from fastapi import Query
from pydantic import BaseModel, ConfigDict, Field

from api.answering import player_router
from api.deps import Asker, AsOf, OnePlayer
from api.models import Body, Stamped
from api.planning import Asked, Planned, planned_shot
from api.short_game_bodies import ChanceBody, State

router = player_router("plans")


class ChipQuery(BaseModel):
    """The chip as it lies; it ignores what stands beside it in the query: `as_of`, `fields`."""

    model_config = ConfigDict(extra="ignore")

    edge_m: Annotated[
        float, Field(ge=0, le=100, description="Ball to the green's edge, m.", examples=[3])
    ]
    hole_m: Annotated[float, Field(gt=0, le=100, description="Ball to the hole, m.", examples=[13])]
    green_speed_ft: Annotated[
        float, Field(ge=3, le=16, description="Stimpmeter reading, feet.", examples=[9.5])
    ]
    slope_deg: Annotated[
        float, Field(ge=0, le=20, description="Slope of the green.", examples=[1.5])
    ] = 0.0
    fall_line_deg: Annotated[
        float,
        Field(ge=0, le=360, description="0: downhill along the line of play.", examples=[90]),
    ] = 0.0
    wet: Annotated[bool, Field(description="The green is wet.", examples=[False])] = False
    lie_slope_deg: Annotated[
        float, Field(ge=-25, le=25, description="Slope of the lie, + uphill.", examples=[0])
    ] = 0.0
    tail_wind_mps: Annotated[
        float, Field(ge=-12, le=12, description="Wind, - against.", examples=[0])
    ] = 0.0


class ClubPlanBody(Body):
    """The best way to play one club."""

    club: Annotated[str, Field(description="Kind of club.", examples=["SW"])]
    carry_m: Annotated[float, Field(ge=0, description="Carry to aim at, m.", examples=[6.5])]
    land_past_edge_m: Annotated[float, Field(description="Landing past the edge.", examples=[3.5])]
    aim_right_deg: Annotated[float, Field(description="Start line, + right.", examples=[-2.0])]
    run_m: Annotated[float, Field(description="Median run, m.", examples=[6.0])]
    speed_mps: Annotated[
        float | None, Field(description="Club speed it needs; null without speeds.", examples=[8.1])
    ]
    swing_length: Annotated[
        str | None, Field(description="Nearest named swing length.", examples=["hip"])
    ]
    leave_zone: Annotated[ChanceBody, Field(description="Chance to finish in the leave zone.")]
    up_and_down: Annotated[ChanceBody, Field(description="Chance of one putt or none.")]
    short_of_green: Annotated[
        float, Field(ge=0, le=1, description="Chance to land short of the green.", examples=[0.03])
    ]
    median_leave_m: Annotated[float, Field(ge=0, description="Median leave, m.", examples=[1.4])]
    strokes: Annotated[float, Field(ge=1, description="Expected strokes.", examples=[2.41])]
    strokes_error: Annotated[
        float, Field(ge=0, description="Error of the simulation.", examples=[0.008])
    ]

    n_shots: Annotated[int, Field(ge=0, description="Balls behind it.", examples=[118])]
    n_sessions: Annotated[int, Field(ge=0, description="Days behind it.", examples=[4])]
    need: Annotated[str, Field(description="What it lacks; empty when nothing.", examples=[""])]


class LeftOutClub(Body):
    """A club that cannot play this chip."""

    club: Annotated[str, Field(description="Kind of club.", examples=["LW"])]
    reason: Annotated[str, Field(description="Why.", examples=["carries 1.0 to 2.5 m"])]


class PlanBody(Stamped):
    """All clubs for one chip, the best first."""

    clubs: Annotated[list[ClubPlanBody], Field(description="The best first.")]
    left_out: Annotated[list[LeftOutClub], Field(description="Clubs that cannot.")]
    better_by_strokes: Annotated[
        float | None, Field(description="Best over the next one.", examples=[0.07])
    ]
    better_error_strokes: Annotated[
        float | None, Field(description="Error of that by the simulation.", examples=[0.004])
    ]
    state: State
    need: Annotated[str, Field(description="What lacks; empty when nothing.", examples=[""])]
    adjusted: Annotated[
        str, Field(description="Stated adjustments used.", examples=["wind +3 m/s: +2.5% carry"])
    ]
    assumed: Annotated[list[str], Field(description="What was assumed for want of data.")]
    putting: Annotated[
        str, Field(description="Whose putting it counts by.", examples=["tour professionals"])
    ]


@router.get("/shot-plan", summary="Plan a chip")
async def get_plan(
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    chip: Annotated[ChipQuery, Query()],
) -> PlanBody:
    """By the player's own spread, simulated; the same question gives the same plan."""
    told: Planned = await ask(planned_shot, player.player_id, Asked(**chip.model_dump()))
    plan = told.plan
    return PlanBody(
        player_id=player.player_id,
        as_of=as_of,
        clubs=[_club(told, index) for index in range(len(plan.clubs))],
        left_out=[LeftOutClub(club=one.club, reason=one.reason) for one in plan.left_out],
        better_by_strokes=plan.better_by,
        better_error_strokes=plan.better_error,
        state=plan.state,
        need=plan.need,
        adjusted=told.adjusted,
        assumed=list(told.assumed),
        putting=plan.putting_label,
    )


def _club(told: Planned, index: int) -> ClubPlanBody:
    one = told.plan.clubs[index]
    need = told.needs.get(one.club)
    return ClubPlanBody(
        club=one.club,
        carry_m=one.carry_m,
        land_past_edge_m=one.land_on_m,
        aim_right_deg=one.aim_deg,
        run_m=one.run_m,
        speed_mps=None if need is None or need.speed is None else need.speed.value,
        swing_length=None if need is None else need.swing_length,
        leave_zone=ChanceBody.of(one.leave_zone),
        up_and_down=ChanceBody.of(one.up_and_down),
        short_of_green=one.short_of_green,
        median_leave_m=one.median_leave_m,
        strokes=one.strokes,
        strokes_error=one.strokes_error,
        n_shots=one.n_shots,
        n_sessions=one.n_sessions,
        need=one.too_early,
    )
