"""Plan: the next chip by the player's own spread, and homework until next time."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from analytics.db import Connection, ask
from analytics.errors import AnalyticsError
from analytics.leave import NEAR_M
from analytics.practice_plan import PracticePlan
from analytics.tape import read_length
from api.charts_plan import key_of, plan_figure
from api.finding_words import wording_of
from api.homework_entry import Outcome, Report, give, given_homework, proposal, report
from api.page_frame import Reader, ReaderOf, page_router
from api.page_view import View
from api.planning import Asked, Planned, planned_shot
from api.player_cards import PlayerCard
from api.plots.svg import Figure
from api.said_number import TYPED, said_number
from ingest.players import load_player

router = page_router()
USUAL = ("edge_m", "hole_m", "green_speed_ft", "slope_deg", "fall_line_deg")
OUTCOMES: dict[str, Outcome] = {"done": "done", "part": "part", "not_done": "not_done"}


@dataclass(frozen=True)
class PlannedChip:
    """The plan of a chip and its picture, or why there is none."""

    told: Planned | None
    figure: Figure | None
    refusal: str = ""
    mend: str = ""


@dataclass(frozen=True)
class Said:
    """A chip as the form says it: edge and hole, the green, the lie's slope and the wind."""

    where: tuple[str, str]
    green: tuple[float, float, float, bool]
    lie: str
    wind: str


@router.get("/players/{player_id}/plan")
async def plan(
    *,
    reader: ReaderOf,
    player_id: str,
    edge: Annotated[str, Query(max_length=20)] = "",
    hole: Annotated[str, Query(max_length=20)] = "",
    speed: Annotated[float, TYPED, Query(ge=3, le=16)] = 9.5,
    slope: Annotated[float, TYPED, Query(ge=0, le=10)] = 0.0,
    fall: Annotated[float, TYPED, Query(ge=0, le=360)] = 0.0,
    wet: bool = False,
    lie: Annotated[str, Query(max_length=8)] = "",
    wind: Annotated[str, Query(max_length=8)] = "",
) -> Response:
    """The form of a chip with its plan once asked, and the homework."""
    player = reader.card(player_id)
    chip = None
    if edge and hole:
        said = Said((edge, hole), (speed, slope, fall, wet), lie, wind)
        chip = await reader.ask(player_id)(_chip, player, reader.view, said)
    given = await reader.ask(player_id)(given_homework, player_id)
    proposed = await reader.service.runner.run(_proposal, reader, player)
    usual = await reader.ask(player_id)(_usual, player_id)
    return reader.page(
        "plan.html",
        "plan",
        player,
        chip=chip,
        asked={
            "edge": edge,
            "hole": hole,
            "speed": speed,
            "slope": slope,
            "fall": fall,
            "lie": lie,
            "wind": wind,
        },
        key=key_of(reader.view),
        near=reader.view.quantity(NEAR_M, "m"),
        wet=wet,
        usual=usual,
        given=given,
        proposed=proposed,
        cautions=_cautions(reader.view, proposed),
    )


def _chip(con: Connection, player: PlayerCard, view: View, said: Said) -> PlannedChip:
    try:
        edge_m, hole_m = (read_length(one, view.length).metres for one in said.where)
        lie, wind = _signed(said.lie), view.units.to_mps(_signed(said.wind))
        asked = Asked(edge_m, hole_m, *said.green, lie_slope_deg=lie, tail_wind_mps=wind)
        told = planned_shot(con, player.player_id, asked)
    except AnalyticsError as error:
        return PlannedChip(None, None, error.reason, error.mend)
    return PlannedChip(told, plan_figure(view, told))


def _signed(said: str) -> float:
    return said_number(said, "-3") or 0.0


def _usual(con: Connection, player_id: str) -> dict[str, object]:
    """Edge, hole and green of the player's last noted day; what the form starts with."""
    rows = ask(con, "newest_conditions", {"player_id": player_id}).to_pylist()
    return rows[0] if rows else dict.fromkeys(USUAL)


def _proposal(reader: Reader, player: PlayerCard) -> PracticePlan | None:
    store = reader.service.settings.store
    try:
        return proposal(store, load_player(store, player.player_id))
    except AnalyticsError:
        return None


def _cautions(view: View, plan: PracticePlan | None) -> list[str]:
    words = wording_of(view)
    return [] if plan is None else [words.text(f"caution.{one}") for one in plan.cautions]


@router.post("/players/{player_id}/homework")
async def give_homework(reader: ReaderOf, player_id: str) -> Response:
    """Give what is proposed."""
    player = reader.card(player_id)
    await reader.form()
    reader.needs("import")
    proposed = await reader.service.runner.run(_proposal, reader, player)
    if proposed is not None:
        store = reader.service.settings.store
        who = load_player(store, player_id)
        await reader.service.runner.run(give, store, who, proposed.pieces)
        await reader.service.changed(player_id)
    return reader.go(f"/players/{player_id}/plan")


@router.post("/players/{player_id}/homework/report")
async def report_homework(reader: ReaderOf, player_id: str) -> Response:
    """What came of one piece: done, in part, or not."""
    reader.card(player_id)
    fields = await reader.form()
    reader.needs("import")
    balls = fields.get("balls", "").strip()
    said = Report(
        fields.get("homework_id", ""),
        OUTCOMES.get(fields.get("outcome", ""), "not_done"),
        int(balls) if balls.isdigit() else None,
        entry_id=fields.get("entry_id", ""),
    )
    store = reader.service.settings.store
    await reader.service.runner.run(report, store, load_player(store, player_id), said)
    await reader.service.changed(player_id)
    return reader.taken(f"/players/{player_id}/plan")
