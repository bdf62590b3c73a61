"""The lesson sheet as a page to read or print, and as PDF; the carry card as PDF."""

from datetime import UTC, date, datetime
from typing import Annotated, Literal
from zoneinfo import ZoneInfo

from fastapi import Query
from starlette.responses import Response

from analytics.carry_card import carry_card
from analytics.db import Connection
from analytics.lesson import lesson
from analytics.scored_test import Rules
from api.carry_card_print import card_pdf
from api.lesson_sheet import LessonSheet, sheet_of
from api.lesson_sheet_print import sheet_pdf
from api.page_frame import ReaderOf, page_router
from api.page_view import View
from api.player_cards import PlayerCard

router = page_router()
PDF = "application/pdf"


@router.get("/players/{player_id}/sheet")
async def sheet(reader: ReaderOf, player_id: str) -> Response:
    """The sheet on the screen."""
    player = reader.card(player_id)
    told = await reader.ask(player_id)(sheet_content, player, reader.view, reader.rules(player))
    return reader.page("sheet.html", "sheet", player, sheet=told)


@router.get("/players/{player_id}/sheet.pdf")
async def printed_sheet(
    reader: ReaderOf, player_id: str, paper: Annotated[Literal["a4", "letter"], Query()] = "a4"
) -> Response:
    """The sheet on one side of paper."""
    player = reader.card(player_id)
    told = await reader.ask(player_id)(sheet_content, player, reader.view, reader.rules(player))
    made = await reader.service.runner.run(sheet_pdf, reader.view, told, paper)
    return _pdf(made, f"lesson-{told.name}")


@router.get("/players/{player_id}/card.pdf")
async def printed_card(
    reader: ReaderOf,
    player_id: str,
    size: Annotated[Literal["a4", "letter", "pocket"], Query()] = "a4",
) -> Response:
    """The carry card on paper, or folded for a pocket."""
    player = reader.card(player_id)
    found = await reader.ask(player_id)(carry_card, player_id)
    made = await reader.service.runner.run(
        card_pdf, found, player.display_name, reader.view.units, size
    )
    return _pdf(made, f"carry-card-{size}")


def sheet_content(
    con: Connection, player: PlayerCard, view: View, rules: dict[str, Rules]
) -> LessonSheet:
    """The sheet of one player, dated by the player's own day."""
    return sheet_of(view, lesson(con, player.player_id, rules), _today(player))


def _today(player: PlayerCard) -> date:
    return datetime.now(UTC).astimezone(ZoneInfo(player.zone)).date()


def _pdf(made: bytes, name: str) -> Response:
    safe = "".join(
        letter for letter in name if letter.isascii() and (letter.isalnum() or letter == "-")
    )
    headers = {"Content-Disposition": f'attachment; filename="{safe}.pdf"'}
    return Response(made, media_type=PDF, headers=headers)
