"""Brackets of a player: triples with their odds, day by day, and what holds over the days."""

from datetime import date, datetime
from typing import Annotated, Literal

from fastapi import Query
from pydantic import Field

from analytics.brackets import BracketDay, Brackets, TripleOdds, brackets
from analytics.db import Connection
from analytics.feedback import feedback
from api.answering import player_router
from api.deps import Asker, AsOf, OnePlayer
from api.finding_models import FindingBody
from api.models import AnswerModel, Body, Stamped

router = player_router("brackets")

Odds = Annotated[
    float | None, Field(ge=0, le=1, description="Probability, 0 to 1.", examples=[0.93])
]
Metres = Annotated[float | None, Field(description="Metres of carry.", examples=[7.9])]


class TripleBody(Body):
    """One bracket: two rehearsals and the shot. Null where a side is missing."""

    session_id: Annotated[
        str, Field(description="Day of practice.", examples=["q3fk82:2025-10-29"])
    ]
    shot_event_id: Annotated[str, Field(description="The ball.", examples=["30fc8151f5a3e357"])]
    ball: Annotated[int, Field(ge=1, description="Number within the day.", examples=[14])]
    club: Annotated[str | None, Field(description="Kind of club.", examples=["SW"])]
    near_m: Annotated[float, Field(description="Near end of the window, m.", examples=[6.6])]
    far_m: Annotated[float, Field(description="Far end of the window, m.", examples=[8.1])]
    long_m: Metres
    short_m: Metres
    carry_m: Annotated[float, Field(description="Carry of the shot, m.", examples=[7.2])]
    mishit: Annotated[bool, Field(description="The shot was a mishit.", examples=[False])]
    long_past: Odds
    short_of: Odds
    shot_between: Odds
    window_held: Odds
    width_m: Metres
    centre_offset_m: Metres
    shot_place: Annotated[
        float | None, Field(description="0 at the short rehearsal, 1 at the long.", examples=[0.4])
    ]
    notes: Annotated[
        list[Literal["reversed", "repeated", "missing_long", "missing_short", "assumed"]],
        Field(description="What was unusual about it.", examples=[["repeated"]]),
    ]


class BracketDayBody(Body):
    """The brackets of one day."""

    session_id: Annotated[
        str, Field(description="Day of practice.", examples=["q3fk82:2025-10-29"])
    ]
    day: Annotated[date | None, Field(description="Local day.", examples=["2026-05-04"])]
    near_m: Annotated[float, Field(description="Near end of the window, m.", examples=[6.6])]
    far_m: Annotated[float, Field(description="Far end of the window, m.", examples=[8.1])]
    window_given: Annotated[
        bool, Field(description="Somebody set the window; else it is assumed.", examples=[True])
    ]
    n_triples: Annotated[int, Field(ge=0, description="Complete brackets.", examples=[34])]
    width_m: Annotated[AnswerModel, Field(description="Width, m of carry.")]
    centre_offset_m: Annotated[
        AnswerModel, Field(description="Middle of the bracket against the window's, m, + long.")
    ]
    window_held: Annotated[AnswerModel, Field(description="Mean probability of holding it.")]
    long_past: Annotated[AnswerModel, Field(description="Mean probability, long past the window.")]
    short_of: Annotated[AnswerModel, Field(description="Mean probability, short of the window.")]
    shot_between: Annotated[AnswerModel, Field(description="Mean probability, shot between.")]


class BracketsBody(Stamped):
    """Brackets of one player. Process and outcome stand side by side, never as cause and effect."""

    days: Annotated[list[BracketDayBody], Field(description="Day by day.")]
    last: Annotated[TripleBody | None, Field(description="The latest triple.")]
    triples: Annotated[
        list[TripleBody], Field(description="The latest triples, oldest first, at most `triples`.")
    ]
    repeatability_m: Annotated[
        AnswerModel, Field(description="SD of one rehearsal at the window's carry, m.")
    ]
    width_to_hold_m: Annotated[
        AnswerModel, Field(description="Width that holds the window 95 times in 100, m.")
    ]
    width_word: Annotated[
        Literal["wide", "narrow", "about_right", "open"],
        Field(description="The latest day's width against it.", examples=["about_right"]),
    ]
    rehearsal_bias: Annotated[
        AnswerModel, Field(description="Rehearsal faster than strike, share of speed.")
    ]
    process: Annotated[list[FindingBody], Field(description="What was done.")]
    outcome: Annotated[list[FindingBody], Field(description="What came of it.")]


@router.get("/brackets", summary="Brackets of rehearsals around the window")
async def brackets_of(
    *,
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    triples: Annotated[
        int, Query(ge=0, le=500, description="How many of the latest triples.", examples=[20])
    ] = 20,
) -> BracketsBody:
    """Width, window held and shot between as probabilities; width against own repeatability."""
    shown = await ask(_brackets, player.player_id)
    return brackets_body(shown, as_of, triples)


def _brackets(con: Connection, player_id: str) -> Brackets:
    return brackets(feedback(con, player_id))


def brackets_body(shown: Brackets, as_of: datetime, latest: int) -> BracketsBody:
    """The body of a player's brackets."""
    some = shown.triples[-latest:] if latest else ()
    return BracketsBody(
        player_id=shown.player_id,
        as_of=as_of,
        days=[_day(day, as_of) for day in shown.days],
        last=None if shown.last is None else _triple(shown.last),
        triples=[_triple(triple) for triple in some],
        repeatability_m=AnswerModel.of(shown.repeatability_m, as_of),
        width_to_hold_m=AnswerModel.of(shown.width_to_hold_m, as_of),
        width_word=shown.width_word,
        rehearsal_bias=AnswerModel.of(shown.rehearsal_bias, as_of),
        process=[FindingBody.of(finding, as_of) for finding in shown.process],
        outcome=[FindingBody.of(finding, as_of) for finding in shown.outcome],
    )


def _day(day: BracketDay, as_of: datetime) -> BracketDayBody:
    return BracketDayBody(
        session_id=day.session_id,
        day=day.day,
        near_m=day.near_m,
        far_m=day.far_m,
        window_given=day.window_given,
        n_triples=day.n_triples,
        width_m=AnswerModel.of(day.width_m, as_of),
        centre_offset_m=AnswerModel.of(day.centre_offset_m, as_of),
        window_held=AnswerModel.of(day.window_held, as_of),
        long_past=AnswerModel.of(day.long_past, as_of),
        short_of=AnswerModel.of(day.short_of, as_of),
        shot_between=AnswerModel.of(day.shot_between, as_of),
    )


def _triple(odds: TripleOdds) -> TripleBody:
    return TripleBody(
        session_id=odds.row.session_id,
        shot_event_id=odds.row.shot.event_id,
        ball=odds.row.ball,
        club=odds.row.club,
        near_m=odds.near_m,
        far_m=odds.far_m,
        long_m=odds.long_m,
        short_m=odds.short_m,
        carry_m=odds.row.carry_m,
        mishit=odds.row.mishit,
        long_past=odds.long_past,
        short_of=odds.short_of,
        shot_between=odds.shot_between,
        window_held=odds.window_held,
        width_m=odds.width_m,
        centre_offset_m=odds.centre_offset_m,
        shot_place=odds.shot_place,
        notes=list(odds.row.notes),
    )
