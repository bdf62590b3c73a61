"""Carry curves of a player, and the speed a carry needs, read backwards from them."""

from datetime import datetime
from typing import Annotated, Literal

from fastapi import Path, Query
from pydantic import Field

from analytics.answer import FIT_VERSION
from analytics.carry_curve import carry_curve, carry_curves, only_club
from analytics.drawn_curve import drawing
from analytics.power_curve import CarryCurve
from api.answering import player_router
from api.curve_text import curve_speeds
from api.deps import Asker, AsOf, OnePlayer
from api.models import AnswerModel, Body, Stamped

router = player_router("carry-curves")

Club = Annotated[
    str | None,
    Query(description="Only this kind of club.", pattern=r"^[A-Z0-9]{1,3}$", examples=["SW"]),
]
Level = Annotated[
    float,
    Query(description="Two-sided level of the bands.", ge=0.5, le=0.99, examples=[0.9]),
]
SpeedError = Annotated[
    float | None,
    Query(
        description="Repeat error of the device's speed as a share; the curve is corrected for it. "
        "Left out: estimated from paired strikes where there are enough.",
        ge=0,
        le=0.29,
        examples=[0.02],
    ),
]


class CarryPointBody(Body):
    """Carry at one speed, with its three bands."""

    speed_mps: Annotated[float, Field(description="Speed, m/s.", examples=[8.0])]
    centre: Annotated[AnswerModel, Field(description="Middle carry of clean strikes, m.")]
    one_shot: Annotated[AnswerModel, Field(description="Where one clean ball lands, m.")]
    with_mishits: Annotated[
        AnswerModel, Field(description="Where one ball lands, mishits counted in, m.")
    ]


class MishitsBody(Body):
    """Balls set apart from the curve, by whom, and their share."""

    by_coach: Annotated[int, Field(ge=0, description="Marked by a coach.", examples=[1])]
    by_rule: Annotated[int, Field(ge=0, description="Marked by the rule alone.", examples=[2])]
    share: Annotated[AnswerModel, Field(description="Share of all balls, 0 to 1.")]


class CarryCurveBody(Body):
    """ln(carry / 1 m) = log_level + exponent · ln(speed / 10 m/s), with what is uncertain."""

    club: Annotated[str, Field(description="Kind of club.", examples=["SW"])]
    swing_length: Annotated[
        str | None, Field(description="Named swing length, if split.", examples=["hip"])
    ]
    speed_kind: Annotated[
        Literal["club", "ball", "sensor"],
        Field(description="Whose speed the curve reads.", examples=["club"]),
    ]
    state: Annotated[
        Literal["clear", "leaning", "too_early"],
        Field(description="How far the curve can be relied on.", examples=["clear"]),
    ]
    need: Annotated[
        str,
        Field(
            description="What is still missing, in words (`8 of 15 shots`); empty when nothing is.",
            examples=[""],
        ),
    ]
    log_level: Annotated[float, Field(description="ln of carry in m at 10 m/s.", examples=[2.35])]
    exponent: Annotated[float, Field(description="Exponent of speed.", examples=[1.94])]
    shot_sd: Annotated[
        float, Field(ge=0, description="Ball-to-ball SD of ln carry.", examples=[0.07])
    ]
    day_sd: Annotated[float, Field(ge=0, description="Day-to-day SD of ln carry.", examples=[0.03])]
    day_share: Annotated[
        float,
        Field(ge=0, le=1, description="Part of one ball's variance from the day.", examples=[0.2]),
    ]
    speed_low_mps: Annotated[
        float, Field(description="Slowest speed the curve may be asked, m/s.", examples=[4.2])
    ]
    speed_high_mps: Annotated[
        float, Field(description="Fastest speed the curve may be asked, m/s.", examples=[14.0])
    ]
    n_players: Annotated[
        int,
        Field(
            ge=0,
            description="Players of the same coach whose curves taught what is usual; 0 where it "
            "is assumed.",
            examples=[23],
        ),
    ] = 0
    speed_error: Annotated[
        str,
        Field(
            description="What was done about the device's error in speed.",
            examples=["not corrected: the device's repeat error is not known"],
        ),
    ]
    mishits: Annotated[MishitsBody, Field(description="Balls set apart.")]
    points: Annotated[
        list[CarryPointBody], Field(description="Carry from the slowest to the fastest seen.")
    ]


class CarryCurvesBody(Stamped):
    """Carry curves of one player."""

    curves: Annotated[list[CarryCurveBody], Field(description="One per club, or split.")]


class SpeedForBody(Stamped):
    """Speed that a carry needs."""

    club: Annotated[str, Field(description="Kind of club.", examples=["SW"])]
    carry_m: Annotated[float, Field(description="Carry asked for, m.", examples=[7.3])]
    speed: Annotated[AnswerModel, Field(description="Speed that carries it, m/s.")]
    one_shot: Annotated[AnswerModel, Field(description="Where one clean ball then lands, m.")]
    with_mishits: Annotated[
        AnswerModel, Field(description="Where one ball then lands, mishits counted in, m.")
    ]


@router.get("/carry-curves", summary="Carry against speed, per club")
async def curves_of(
    *,
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    club: Club = None,
    speed: Annotated[
        Literal["club", "ball", "sensor"],
        Query(description="Whose speed the curve reads.", examples=["club"]),
    ] = "club",
    by_swing_length: Annotated[
        bool, Query(description="Split by named swing length.", examples=[False])
    ] = False,
    level: Level = 0.9,
    speed_error: SpeedError = None,
) -> CarryCurvesBody:
    """Middle, one clean ball and any ball at five speeds, and the curve itself."""
    found = await ask(
        carry_curves, player.player_id, speed, by_swing_length, speed_error_sd=speed_error
    )
    chosen = only_club(found, club)
    return CarryCurvesBody(
        player_id=player.player_id,
        as_of=as_of,
        fit_version=chosen[0].fit_version if chosen else FIT_VERSION,
        curves=[curve_body(curve, level, as_of) for curve in chosen],
    )


@router.get("/carry-curves/{club}/speed-for", summary="Speed that a carry needs")
async def speed_for(
    *,
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    club: Annotated[
        str, Path(description="Kind of club.", pattern=r"^[A-Z0-9]{1,3}$", examples=["SW"])
    ],
    carry_m: Annotated[float, Query(description="Carry wanted, m.", gt=0, le=350, examples=[7.3])],
    level: Level = 0.9,
) -> SpeedForBody:
    """The curve read backwards. Refused (422) beyond 0.7 to 1.4 times the speeds seen."""
    curve = await ask(carry_curve, player.player_id, club)
    answer = curve.speed_for(carry_m, level)
    assert answer.value is not None
    at = curve.carry(answer.value, level)
    return SpeedForBody(
        player_id=player.player_id,
        as_of=as_of,
        fit_version=curve.fit_version,
        club=club,
        carry_m=carry_m,
        speed=AnswerModel.of(answer, as_of),
        one_shot=AnswerModel.of(at.one_shot, as_of),
        with_mishits=AnswerModel.of(at.with_mishits, as_of),
    )


class DrawnPointBody(Body):
    """One point of a drawing."""

    speed_mps: Annotated[float, Field(description="Speed, m/s.", examples=[8.0])]
    carry_m: Annotated[float, Field(description="Carry, m.", examples=[7.1])]


class DrawnCurveBody(Stamped):
    """The balls themselves as a rising curve, to look at beside the carry curve."""

    club: Annotated[str, Field(description="Kind of club.", examples=["SW"])]
    n_shots: Annotated[int, Field(ge=30, description="Balls behind it.", examples=[62])]
    bends: Annotated[
        bool,
        Field(
            description="Whether the balls bend away from the power law (99 %); then the curve "
            "should not be stretched beyond the speeds seen.",
            examples=[False],
        ),
    ]
    points: Annotated[list[DrawnPointBody], Field(description="Within the speeds seen only.")]


@router.get("/carry-curves/{club}/drawn", summary="The balls as a rising curve, to look at")
async def drawn(
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    club: Annotated[
        str, Path(description="Kind of club.", pattern=r"^[A-Z0-9]{1,3}$", examples=["SW"])
    ],
) -> DrawnCurveBody:
    """A drawing aid, not an answer: 404 below 30 clean balls."""
    found, bent = await ask(drawing, player.player_id, club)
    points = [
        DrawnPointBody(speed_mps=float(speed), carry_m=float(carry))
        for speed, carry in zip(found.speed_mps, found.carry_m, strict=True)
    ]
    return DrawnCurveBody(
        player_id=player.player_id,
        as_of=as_of,
        club=club,
        n_shots=found.n_balls,
        bends=bent.told,
        points=points,
    )


def curve_body(curve: CarryCurve, level: float, as_of: datetime) -> CarryCurveBody:
    """The body of one curve."""
    low, high = curve.range_mps
    return CarryCurveBody(
        club=curve.club,
        swing_length=curve.swing_length,
        speed_kind=curve.speed_kind,
        state=curve.state,
        need=curve.need,
        log_level=curve.log_level,
        exponent=curve.exponent,
        shot_sd=curve.shot_sd,
        day_sd=curve.day_sd,
        day_share=curve.day_share,
        speed_low_mps=low,
        speed_high_mps=high,
        n_players=curve.n_players,
        speed_error=curve.speed_error,
        mishits=mishits_body(curve, as_of),
        points=[point_body(curve, speed, level, as_of) for speed in curve_speeds(curve)],
    )


def mishits_body(curve: CarryCurve, as_of: datetime) -> MishitsBody:
    """Counts and share of the balls set apart."""
    return MishitsBody(
        by_coach=curve.n_coach,
        by_rule=curve.n_rule,
        share=AnswerModel.of(curve.mishits, as_of),
    )


def point_body(
    curve: CarryCurve, speed_mps: float, level: float, as_of: datetime
) -> CarryPointBody:
    """Carry at one speed."""
    at = curve.carry(speed_mps, level)
    return CarryPointBody(
        speed_mps=speed_mps,
        centre=AnswerModel.of(at.centre, as_of),
        one_shot=AnswerModel.of(at.one_shot, as_of),
        with_mishits=AnswerModel.of(at.with_mishits, as_of),
    )
