"""The lesson sheet of a player, ready to print."""

from typing import Annotated, Literal

from fastapi import Query
from fastapi.responses import Response

from analytics.lesson import Lesson, lesson
from analytics.scored_rules import known_rules
from api.answering import player_router
from api.deps import Asker, AsOf, OnePlayer, Store
from api.lesson_sheet import sheet_of
from api.lesson_sheet_print import sheet_pdf
from api.page_view import View

router = player_router("lesson-sheet")


class PdfResponse(Response):
    """A PDF document."""

    media_type = "application/pdf"


@router.get(
    "/lesson-sheet.pdf",
    summary="The lesson sheet to print",
    response_class=PdfResponse,
    responses={200: {"content": {"application/pdf": {"schema": {"type": "string"}}}}},
)
async def get_sheet(
    *,
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    store: Store,
    paper: Annotated[Literal["a4", "letter"], Query(description="Paper.", examples=["a4"])] = "a4",
    length_unit: Annotated[
        Literal["m", "yd", "ft"], Query(description="Unit of lengths.", examples=["ft"])
    ] = "m",
    speed_unit: Annotated[
        Literal["m/s", "mph", "km/h"], Query(description="Unit of speeds.", examples=["mph"])
    ] = "m/s",
) -> PdfResponse:
    """One side: what is clear, what is open, card, bracket, leave map, tests, homework."""
    view = View("en", length_unit, speed_unit)
    told: Lesson = await ask(lesson, player.player_id, known_rules(store, player.coach))
    return PdfResponse(sheet_pdf(view, sheet_of(view, told, as_of.date()), paper))
