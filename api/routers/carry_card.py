"""The carry card of a player: as JSON, as a PDF to print, as CSV."""

from datetime import date
from typing import Annotated, Literal

from fastapi import Query
from fastapi.responses import Response
from pydantic import Field

from analytics.carry_card import CarryCard, carry_card
from api.answering import player_router
from api.carry_card_print import card_csv, card_pdf
from api.deps import Asker, AsOf, OnePlayer
from api.models import AnswerModel, Body, Stamped
from api.reader_units import ReaderUnits
from api.routers.carry_ladder import RungBody, rung_body

router = player_router("carry-card")

LengthUnit = Annotated[
    Literal["m", "yd", "ft"], Query(description="Unit of lengths.", examples=["yd"])
]
SpeedUnit = Annotated[
    Literal["m/s", "mph", "km/h"], Query(description="Unit of speeds.", examples=["mph"])
]


class CardRowBody(Body):
    """One rung of the card."""

    rung: Annotated[RungBody, Field(description="What it carries.")]
    speed: Annotated[AnswerModel | None, Field(description="Club speed that gives its carry, m/s.")]
    n_excluded: Annotated[int, Field(ge=0, description="Balls set apart.", examples=[2])]
    gap_to_next: Annotated[
        Literal["clear", "too_wide", "overlap", "not_yet", "too_early"] | None,
        Field(description="Judgement on the gap to the next longer rung.", examples=["clear"]),
    ]


class CarryCardBody(Stamped):
    """The card, shortest carry first."""

    last_day: Annotated[
        date | None, Field(description="Last day of practice in it.", examples=["2026-05-04"])
    ]
    level: Annotated[float, Field(description="Level of every band.", examples=[0.9])]
    n_shots: Annotated[int, Field(ge=0, description="Clean balls behind it.", examples=[120])]
    n_excluded: Annotated[int, Field(ge=0, description="Balls set apart.", examples=[6])]
    rows: Annotated[list[CardRowBody], Field(description="One per rung.")]


@router.get("/carry-card", summary="The carry card")
async def carry_card_of(player: OnePlayer, ask: Asker, as_of: AsOf) -> CarryCardBody:
    """Everything that stands on the printed card, SI units."""
    card = await ask(carry_card, player.player_id)
    rows = [
        CardRowBody(
            rung=rung_body(row.rung, as_of),
            speed=AnswerModel.of(row.speed, as_of) if row.speed else None,
            n_excluded=row.excluded,
            gap_to_next=row.gap,
        )
        for row in card.rows
    ]
    return CarryCardBody(
        player_id=player.player_id,
        as_of=as_of,
        fit_version=card.fit_version,
        last_day=card.last_day,
        level=card.level,
        n_shots=card.n_shots,
        n_excluded=card.n_excluded,
        rows=rows,
    )


class PdfResponse(Response):
    """A PDF document."""

    media_type = "application/pdf"


class CsvResponse(Response):
    """A CSV file."""

    media_type = "text/csv"


@router.get(
    "/carry-card.pdf",
    summary="The carry card to print",
    response_class=PdfResponse,
    responses={200: {"content": {"application/pdf": {"schema": {"type": "string"}}}}},
)
async def carry_card_pdf(
    *,
    player: OnePlayer,
    ask: Asker,
    size: Annotated[
        Literal["a4", "letter", "pocket"], Query(description="Paper.", examples=["pocket"])
    ] = "a4",
    length_unit: LengthUnit = "m",
    speed_unit: SpeedUnit = "m/s",
) -> PdfResponse:
    """A4, US letter or a pocket size (74 × 105 mm), in the reader's units; first name only."""
    card: CarryCard = await ask(carry_card, player.player_id)
    units = ReaderUnits(length_unit, speed_unit)
    return PdfResponse(card_pdf(card, player.display_name, units, size))


@router.get(
    "/carry-card.csv",
    summary="The carry card for a spreadsheet",
    response_class=CsvResponse,
    responses={200: {"content": {"text/csv": {"schema": {"type": "string"}}}}},
)
async def carry_card_csv(
    player: OnePlayer, ask: Asker, length_unit: LengthUnit = "m", speed_unit: SpeedUnit = "m/s"
) -> CsvResponse:
    """One row per rung, units in columns of their own; safe to open in a spreadsheet."""
    card: CarryCard = await ask(carry_card, player.player_id)
    return CsvResponse(card_csv(card, ReaderUnits(length_unit, speed_unit)))
