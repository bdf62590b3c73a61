"""Landings of a player: window share, start gate, direction, what a miss is made of, mishits."""

from datetime import date, datetime
from math import isfinite
from typing import Annotated, Literal

from pydantic import Field

from analytics.db import Connection
from analytics.feedback import feedback
from analytics.landings import GateShare, Landings, LieContact, WindowShare, landings
from analytics.miss_split import MissSplit
from api.answering import player_router
from api.deps import Asker, AsOf, OnePlayer
from api.finding_models import FindingBody, SessionId
from api.models import AnswerModel, Body, Stamped

router = player_router("landing")


class WindowShareBody(Body):
    """Balls of one day in the landing window, beside the best the day's spread allows."""

    session_id: SessionId | None
    day: Annotated[date | None, Field(description="Local day.", examples=["2026-05-04"])]
    near_m: Annotated[float, Field(description="Near end of the window, m.", examples=[6.6])]
    far_m: Annotated[float, Field(description="Far end of the window, m.", examples=[8.1])]
    window_given: Annotated[
        bool, Field(description="Somebody set the window; else it is assumed.", examples=[True])
    ]
    inside: Annotated[AnswerModel, Field(description="Share of all balls.")]
    inside_clean: Annotated[AnswerModel, Field(description="Share of clean strikes.")]
    best: Annotated[AnswerModel, Field(description="Best share this spread allows.")]


class GateBody(Body):
    """Start gate: two posts across the start line."""

    width_m: Annotated[float, Field(description="Between the posts, m.", examples=[0.69])]
    distance_m: Annotated[float, Field(description="From the ball, m.", examples=[6.4])]
    given: Annotated[bool, Field(description="It was noted; else a usual one.", examples=[True])]
    angle_deg: Annotated[
        float, Field(ge=0, description="Allowed to either side, degrees.", examples=[2.9])
    ]
    through: Annotated[AnswerModel, Field(description="Share of clean strikes through.")]
    best: Annotated[AnswerModel, Field(description="Best share the spread of starts allows.")]


class MissBody(Body):
    """Shares of the mean squared miss at the hole; they sum to 1, one may be negative."""

    n_shots: Annotated[int, Field(ge=0, description="Balls with a marked finish.", examples=[36])]
    n_sessions: Annotated[int, Field(ge=0, description="Days.", examples=[2])]
    usual_m: Annotated[float | None, Field(description="Root mean squared miss, m.", examples=[2])]
    aim: Annotated[float | None, Field(description="The day's mean direction.", examples=[0.1])]
    start: Annotated[float | None, Field(description="Each ball's own start.", examples=[0.1])]
    carry: Annotated[float | None, Field(description="Carry against the meant.", examples=[0.4])]
    run: Annotated[float | None, Field(description="All after landing.", examples=[0.4])]


class LieBody(Body):
    """Strikes from one kind of lie; the room for the low point is plain geometry."""

    lie: Annotated[
        Literal["level", "uphill", "downhill", "unknown"],
        Field(description="Slope along the target line.", examples=["uphill"]),
    ]
    n_shots: Annotated[int, Field(ge=0, description="Balls.", examples=[20])]
    n_sessions: Annotated[int, Field(ge=0, description="Days.", examples=[2])]
    mishit_share: Annotated[AnswerModel, Field(description="Share of mishits.")]
    attack_to_turf_deg: Annotated[
        float | None, Field(description="Attack angle less slope, degrees.", examples=[-8.0])
    ]
    ball_to_club: Annotated[
        float | None, Field(description="Ball speed ÷ club speed.", examples=[1.02])
    ]
    carry_residual_ln: Annotated[
        float | None, Field(description="ln carry against the usual.", examples=[-0.03])
    ]
    low_point_room_m: Annotated[
        float | None, Field(description="Room for the low point, m; 0: none.", examples=[0.09])
    ]


class LandingBody(Stamped):
    """Landings of one player."""

    hand: Annotated[Literal["right", "left"], Field(description="Hand.", examples=["left"])]
    days: Annotated[list[WindowShareBody], Field(description="Day by day.")]
    landing_error_m: Annotated[
        AnswerModel, Field(description="Mean carry against the window's middle, m, + long.")
    ]
    landing_spread_m: Annotated[AnswerModel, Field(description="SD within days, m.")]
    gate: Annotated[GateBody, Field(description="Start gate.")]
    start_right_deg: Annotated[AnswerModel, Field(description="Mean start, degrees, + right.")]
    push_deg: Annotated[
        AnswerModel, Field(description="The same as push (+) or pull (−) for this hand, degrees.")
    ]
    start_spread_deg: Annotated[AnswerModel, Field(description="SD within days, degrees.")]
    half_within_m: Annotated[
        float | None, Field(description="Circle that holds half of the balls, m.", examples=[0.6])
    ]
    most_within_m: Annotated[
        float | None, Field(description="Circle that holds 95 %, m.", examples=[1.6])
    ]
    miss: Annotated[MissBody, Field(description="What a miss is made of.")]
    mishit_share: Annotated[AnswerModel, Field(description="Share of mishits.")]
    mishits_by_coach: Annotated[int, Field(ge=0, description="Marked by a coach.", examples=[1])]
    lies: Annotated[list[LieBody], Field(description="By lie; empty while none was noted.")]
    findings: Annotated[list[FindingBody], Field(description="Centre, spread, direction, mishits.")]


@router.get("/landing", summary="Landings: window, gate, direction, miss, mishits")
async def landing_of(player: OnePlayer, ask: Asker, as_of: AsOf) -> LandingBody:
    """Every share stands beside the best the player's own spread allows."""
    shown = await ask(_landings, player.player_id)
    return landing_body(shown, as_of)


def _landings(con: Connection, player_id: str) -> Landings:
    return landings(feedback(con, player_id))


def landing_body(shown: Landings, as_of: datetime) -> LandingBody:
    """The body of a player's landings."""
    findings = (*shown.outcome, *shown.direction, *shown.contact)
    return LandingBody(
        player_id=shown.player_id,
        as_of=as_of,
        hand=shown.hand,
        days=[_window(day, as_of) for day in shown.days],
        landing_error_m=AnswerModel.of(shown.landing_error_m, as_of),
        landing_spread_m=AnswerModel.of(shown.landing_spread_m, as_of),
        gate=_gate(shown.gate, as_of),
        start_right_deg=AnswerModel.of(shown.start_right_deg, as_of),
        push_deg=AnswerModel.of(shown.push_deg, as_of),
        start_spread_deg=AnswerModel.of(shown.start_spread_deg, as_of),
        half_within_m=shown.half_within_m,
        most_within_m=shown.most_within_m,
        miss=_miss(shown.miss),
        mishit_share=AnswerModel.of(shown.mishit_share, as_of),
        mishits_by_coach=shown.mishits_by_coach,
        lies=[_lie(lie, as_of) for lie in shown.lies],
        findings=[FindingBody.of(finding, as_of, shown.hand) for finding in findings],
    )


def _window(day: WindowShare, as_of: datetime) -> WindowShareBody:
    return WindowShareBody(
        session_id=day.session_id,
        day=day.day,
        near_m=day.near_m,
        far_m=day.far_m,
        window_given=day.window_given,
        inside=AnswerModel.of(day.inside, as_of),
        inside_clean=AnswerModel.of(day.inside_clean, as_of),
        best=AnswerModel.of(day.best, as_of),
    )


def _gate(gate: GateShare, as_of: datetime) -> GateBody:
    return GateBody(
        width_m=gate.width_m,
        distance_m=gate.distance_m,
        given=gate.given,
        angle_deg=gate.angle_deg,
        through=AnswerModel.of(gate.through, as_of),
        best=AnswerModel.of(gate.best, as_of),
    )


def _miss(miss: MissSplit) -> MissBody:
    shares = miss.shares or {}
    return MissBody(
        n_shots=miss.n_shots,
        n_sessions=miss.n_sessions,
        usual_m=miss.usual_m,
        aim=shares.get("aim"),
        start=shares.get("start"),
        carry=shares.get("carry"),
        run=shares.get("run"),
    )


def _lie(lie: LieContact, as_of: datetime) -> LieBody:
    strikes = lie.strikes
    return LieBody.model_validate(
        {
            "lie": strikes.lie,
            "n_shots": strikes.n_shots,
            "n_sessions": strikes.n_sessions,
            "mishit_share": AnswerModel.of(lie.mishit_share, as_of),
            "attack_to_turf_deg": _known(strikes.attack_to_turf_deg.value),
            "ball_to_club": _known(strikes.ball_to_club.value),
            "carry_residual_ln": _known(strikes.carry_residual_ln.value),
            "low_point_room_m": None if lie.room is None else lie.room.whole_m,
        }
    )


def _known(value: float) -> float | None:
    return value if isfinite(value) else None
