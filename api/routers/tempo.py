"""Tempo of a player: ratio and times by day, drift, rehearsal against strike, links."""

from datetime import date
from typing import Annotated

from pydantic import Field

from analytics.db import Connection
from analytics.feedback import feedback
from analytics.tempos import TempoDay, Tempos, tempos
from api.answering import player_router
from api.deps import Asker, AsOf, OnePlayer
from api.finding_models import FindingBody
from api.models import AnswerModel, Body, Stamped

router = player_router("tempo")


class TempoDayBody(Body):
    """Strikes of one day."""

    session_id: Annotated[
        str, Field(description="Day of practice.", examples=["q3fk82:2025-10-29"])
    ]
    day: Annotated[date | None, Field(description="Local day.", examples=["2026-05-04"])]
    ratio: Annotated[AnswerModel, Field(description="Backswing ÷ downswing.")]
    backswing_s: Annotated[AnswerModel, Field(description="Backswing time, s.")]
    downswing_s: Annotated[AnswerModel, Field(description="Downswing time, s.")]
    rehearsal_ratio: Annotated[AnswerModel, Field(description="Ratio of the rehearsals.")]


class TempoBody(Stamped):
    """Tempo of one player, never finer than the sensor samples."""

    days: Annotated[list[TempoDayBody], Field(description="Day by day.")]
    ratio: Annotated[AnswerModel, Field(description="Backswing ÷ downswing of strikes.")]
    rehearsal_ratio: Annotated[AnswerModel, Field(description="The same of rehearsals.")]
    sampling_step_s: Annotated[
        float | None, Field(description="Step of the sensor's times, s.", examples=[0.01])
    ]
    rounding_sd: Annotated[
        float, Field(ge=0, description="SD of one ratio from sampling alone.", examples=[0.04])
    ]
    decimals: Annotated[
        int, Field(ge=0, le=2, description="Decimals of one ratio worth showing.", examples=[1])
    ]
    set_of_balls: Annotated[
        int | None, Field(description="Balls per set where tempo drifts.", examples=[15])
    ]
    habits: Annotated[list[FindingBody], Field(description="Drift, change, rehearsal.")]
    links: Annotated[
        list[FindingBody], Field(description="What goes with the miss on a day; no cause.")
    ]


@router.get("/tempo", summary="Tempo: ratio, times, drift, links")
async def tempo_of(player: OnePlayer, ask: Asker, as_of: AsOf) -> TempoBody:
    """A habit needs six sessions; a link is an observation within sessions, never a cause."""
    shown = await ask(_tempos, player.player_id)
    return TempoBody(
        player_id=player.player_id,
        as_of=as_of,
        days=[
            TempoDayBody(
                session_id=day.session_id,
                day=day.day,
                **{name: AnswerModel.of(getattr(day, name), as_of) for name in DAY_ANSWERS},
            )
            for day in shown.days
        ],
        ratio=AnswerModel.of(shown.ratio, as_of),
        rehearsal_ratio=AnswerModel.of(shown.rehearsal_ratio, as_of),
        sampling_step_s=shown.sampling_step_s,
        rounding_sd=shown.rounding_sd,
        decimals=shown.decimals,
        set_of_balls=shown.set_of_balls,
        habits=[FindingBody.of(finding, as_of) for finding in shown.habits],
        links=[FindingBody.of(finding, as_of) for finding in shown.links],
    )


DAY_ANSWERS = tuple(
    name for name in TempoDay.__dataclass_fields__ if name not in {"session_id", "day"}
)


def _tempos(con: Connection, player_id: str) -> Tempos:
    return tempos(feedback(con, player_id))
