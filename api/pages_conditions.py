"""The green of a day: its speed, slope, fall line and wetness, the window, the gate, the hole."""

from collections.abc import Mapping
from datetime import date
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from analytics.db import Connection
from analytics.session_list import session_list
from api.conditions_entry import LENGTHS, both_rolls, conditions_row, enter_conditions, noted_before
from api.page_frame import ReaderOf, page_router
from api.page_view import View
from api.pages_today import local_day
from api.said_number import said_number
from ingest.hand_entry import Cell
from ingest.players import load_player

router = page_router()
NUMBERS = ("green_speed_ft", "slope_deg", "fall_line_deg", "lie_slope_deg")
WORDS = ("place", "note")
ROLLS = ("roll_up", "roll_down")
DAYS_OFFERED = 12


@router.get("/players/{player_id}/conditions")
async def conditions(
    reader: ReaderOf,
    player_id: str,
    day: Annotated[str, Query(max_length=10)] = "",
    saved: bool = False,
) -> Response:
    """The form of one day with what was noted of it; today's when none is named."""
    player = reader.card(player_id)
    chosen = local_day(day, player)
    days, noted = await reader.ask(player_id)(_noted, player_id, chosen)
    shown = {name: _said(value, name, reader.view) for name, value in noted.items()}
    return reader.page(
        "conditions.html",
        "conditions",
        player,
        day=chosen,
        days=[one for one in days if one != chosen][:DAYS_OFFERED],
        noted=shown,
        saved=saved,
    )


def _noted(con: Connection, player_id: str, day: date) -> tuple[list[date], dict[str, Cell]]:
    days = [one.day for one in session_list(con) if one.day is not None]
    return sorted(days, reverse=True), noted_before(con, player_id, day)


def _said(value: Cell, name: str, view: View) -> str:
    if isinstance(value, int | float):
        metres = name.endswith("_m")
        return f"{view.to_length(value) if metres else value:.4g}"
    return str(value)


@router.post("/players/{player_id}/conditions")
async def save_conditions(reader: ReaderOf, player_id: str) -> Response:
    """Note the day; an empty field leaves what was noted before."""
    player = reader.card(player_id)
    fields = await reader.form()
    reader.needs("import")
    day = local_day(fields.get("day", ""), player)
    row = said_conditions(fields, reader.view)
    store = reader.service.settings.store
    who = load_player(store, player_id)
    await reader.service.runner.run(enter_conditions, store, who, day, row)
    await reader.service.changed(player_id)
    return reader.taken(f"/players/{player_id}/conditions?day={day}&saved=true")


def said_conditions(fields: Mapping[str, str], view: View) -> dict[str, Cell]:
    """The row a form describes. Raises: BadQuestion for what cannot be read."""
    said: dict[str, str | float | None] = {name: fields.get(name, "").strip() for name in LENGTHS}
    said |= {name: fields.get(name, "").strip()[:200] for name in WORDS}
    said |= {name: _number(fields, name) for name in NUMBERS}
    if fields.get("wetness") in {"dry", "damp", "wet"}:
        said["wetness"] = fields["wetness"]
    rolls = both_rolls(*(_number(fields, name) for name in ROLLS))
    if rolls is not None:
        said["green_speed_ft"] = None  # what the form still shows of before
    return conditions_row(said, rolls, view.length)


def _number(fields: Mapping[str, str], name: str) -> float | None:
    return said_number(fields.get(name, ""), "9.5")
