"""A player's profile: curves, one clear thing, one open thing, one focus, cautions."""

from datetime import date
from typing import Annotated, Literal

from fastapi import Query
from pydantic import Field

from analytics.findings import TILE_KEYS
from analytics.player_profile import PlayerProfile, player_profile
from analytics.power_curve import CarryCurve
from analytics.speed_card import SpeedCard, SwingToFeel
from api.answering import player_router
from api.choices import OneOf
from api.deps import Asker, AsOf, OnePlayer
from api.finding_models import FindingBody, FocusBody
from api.models import AnswerModel, Body, Stamped

router = player_router("profile")


class ProfileCurveBody(Body):
    """A carry curve in short; all of it under /carry-curves."""

    club: Annotated[str, Field(description="Kind of club.", examples=["SW"])]
    state: Annotated[
        Literal["clear", "leaning", "too_early"],
        Field(description="How far it can be relied on.", examples=["clear"]),
    ]
    need: Annotated[str, Field(description="What is missing; empty when clear.", examples=[""])]
    n_shots: Annotated[int, Field(ge=0, description="Clean balls.", examples=[42])]
    n_sessions: Annotated[int, Field(ge=0, description="Days.", examples=[3])]
    speed_mps: Annotated[float, Field(description="Middle of the speeds seen, m/s.", examples=[8])]
    carry: Annotated[AnswerModel, Field(description="Carry at that speed, m.")]


class SwingToFeelBody(Body):
    """One of three swings to feel."""

    carry_m: Annotated[float, Field(description="Carry meant, m.", examples=[8.2])]
    speed: Annotated[AnswerModel, Field(description="Club speed it needs, m/s.")]
    rehearsal_speed_mps: Annotated[
        float | None, Field(description="What a rehearsal reads for it, m/s.", examples=[8.6])
    ]
    swing_length: Annotated[
        str | None, Field(description="Nearest named swing length.", examples=["hip"])
    ]


class SpeedCardBody(Body):
    """Three swings to feel for the window last played at."""

    club: Annotated[str, Field(description="Kind of club.", examples=["SW"])]
    target_m: Annotated[float, Field(description="Carry of the shot, m.", examples=[7.3])]
    bracket_m: Annotated[float, Field(description="From short to long, m.", examples=[3.2])]
    from_own_repeatability: Annotated[
        bool, Field(description="Width from own repeatability; else usual.", examples=[True])
    ]
    long: Annotated[SwingToFeelBody, Field(description="A bit long.")]
    short: Annotated[SwingToFeelBody, Field(description="A bit short.")]
    shot: Annotated[SwingToFeelBody, Field(description="The shot.")]


class ProfileBody(Stamped):
    """Profile of one player; details under /carry-curves, /brackets, /tempo, /landing."""

    display_name: Annotated[str | None, Field(description="Name to show.", examples=["Robin"])]
    handedness: Annotated[str, Field(description="right or left.", examples=["right"])]
    age_band: Annotated[str, Field(description="adult or junior.", examples=["adult"])]
    n_shots: Annotated[int, Field(ge=0, description="Struck balls.", examples=[240])]
    n_swings: Annotated[int, Field(ge=0, description="Swings the sensor saw.", examples=[700])]
    n_sessions: Annotated[int, Field(ge=0, description="Days.", examples=[6])]
    first_day: Annotated[date | None, Field(description="First day.", examples=["2026-03-02"])]
    last_day: Annotated[date | None, Field(description="Latest day.", examples=["2026-05-04"])]
    curves: Annotated[list[ProfileCurveBody], Field(description="One per club.")]
    clear: Annotated[FindingBody | None, Field(description="What stands out most.")]
    open: Annotated[FindingBody | None, Field(description="What is most worth settling.")]
    focus: Annotated[FocusBody, Field(description="One focus for the next session.")]
    findings: Annotated[list[FindingBody], Field(description="Everything looked at.")]
    card: Annotated[SpeedCardBody | None, Field(description="Three swings to feel.")]
    cautions: Annotated[
        list[str], Field(description="Cautions to show.", examples=[["clear_space", "load"]])
    ]


@router.get("/profile", summary="Profile: what is clear, what is open, what to do next")
async def profile_of(
    *,
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    declared: Annotated[
        Annotated[str, OneOf(TILE_KEYS)] | None,
        Query(
            description="Focus set before the sessions; it is tested on its own.",
            examples=["tempo_drift"],
        ),
    ] = None,
) -> ProfileBody:
    """Everything is judged together, so that at most 4 % of what is called found is chance."""
    found = await ask(player_profile, player.player_id, None, declared)
    hand = found.handedness
    clear, still_open = (
        None if thing is None else FindingBody.of(thing, as_of, hand)
        for thing in (found.clear, found.open)
    )
    return ProfileBody(
        player_id=player.player_id,
        as_of=as_of,
        display_name=found.display_name,
        handedness=hand,
        age_band=found.age_band,
        n_shots=found.n_shots,
        n_swings=found.n_swings,
        n_sessions=found.n_sessions,
        first_day=found.first_day,
        last_day=found.last_day,
        curves=[_curve(curve, as_of) for curve in found.curves],
        clear=clear,
        open=still_open,
        focus=FocusBody.of(found.feedback.focus),
        findings=[FindingBody.of(f, as_of, hand) for f in found.feedback.findings],
        card=None if found.card is None else _card(found.card, as_of),
        cautions=_cautions(found),
    )


def _cautions(found: PlayerProfile) -> list[str]:
    return [*found.ball_cautions, *found.cautions]


def _curve(curve: CarryCurve, as_of: AsOf) -> ProfileCurveBody:
    return ProfileCurveBody(
        club=curve.club,
        state=curve.state,
        need=curve.need,
        n_shots=curve.n_shots,
        n_sessions=curve.n_sessions,
        speed_mps=curve.speed_middle_mps,
        carry=AnswerModel.of(curve.carry(curve.speed_middle_mps).centre, as_of),
    )


def _card(card: SpeedCard, as_of: AsOf) -> SpeedCardBody:
    return SpeedCardBody(
        club=card.club,
        target_m=card.target_m,
        bracket_m=card.bracket_m,
        from_own_repeatability=card.from_own_repeatability,
        long=_swing(card.long, as_of),
        short=_swing(card.short, as_of),
        shot=_swing(card.shot, as_of),
    )


def _swing(swing: SwingToFeel, as_of: AsOf) -> SwingToFeelBody:
    return SwingToFeelBody(
        carry_m=swing.carry_m,
        speed=AnswerModel.of(swing.speed_mps, as_of),
        rehearsal_speed_mps=swing.rehearsal_speed_mps,
        swing_length=swing.swing_length,
    )
