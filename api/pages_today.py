"""Today: the last triple, the landing strip, and three big buttons, readable in the sun."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Annotated
from zoneinfo import ZoneInfo

from fastapi import Query
from starlette.responses import Response

from analytics.brackets import brackets
from analytics.cautions import usual_limits
from analytics.db import Connection, ask
from analytics.feedback import Feedback, feedback
from analytics.landings import GateShare, WindowShare, landings
from api.charts_bracket import last_triples
from api.charts_landing import strip_of_day
from api.conditions_entry import conditions_row, enter_conditions
from api.imports_seen import imports_of, one_import
from api.page_frame import Reader, ReaderOf, page_router
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.svg import Figure
from api.take_back import take_back
from ingest.edits import Correction, correct
from ingest.players import load_player

router = page_router()


@dataclass(frozen=True)
class LastBall:
    """The ball hit last, as its row in the book."""

    event_id: str
    ball: int
    club: str
    carry_m: float | None
    mishit: bool
    day: date | None
    n_today: int
    mishits_today: int


@dataclass(frozen=True)
class TodayContent:
    """What the page shows."""

    last: LastBall | None
    triple: Figure | None
    strip: Figure | None
    window: WindowShare | None
    gate: GateShare | None
    need: str
    cap: int

    @property
    def over_cap(self) -> bool:
        """Whether the day's balls are used up."""
        return self.last is not None and self.last.n_today >= self.cap


@router.get("/")
async def start(reader: ReaderOf) -> Response:
    """The player looked at last, else the first one; an empty book says how to begin."""
    cards = reader.cards()
    if not cards:
        return reader.page("first.html", "today")
    seen = {card.player_id for card in cards}
    chosen = reader.view.player if reader.view.player in seen else cards[0].player_id
    return reader.go(f"/players/{chosen}/today")


@router.get("/players/{player_id}/today")
async def today(
    reader: ReaderOf, player_id: str, undone: Annotated[str, Query(max_length=32)] = ""
) -> Response:
    """The page of one player."""
    player = reader.card(player_id)
    gone = one_import(reader.service, reader.caller, undone) if undone else None
    content = await reader.ask(player_id)(today_content, player, reader.view)
    others = [card for card in reader.cards() if card.player_id != player_id]
    return reader.page("today.html", "today", player, content=content, others=others, gone=gone)


def today_content(con: Connection, player: PlayerCard, view: View) -> TodayContent:
    """The page's answers for one player."""
    rows = ask(con, "last_ball", {"player_id": player.player_id}).to_pylist()
    cap = usual_limits(player.age_band).cap
    if not rows:
        return TodayContent(None, None, None, None, None, "", cap)
    found: Feedback = feedback(con, player.player_id)
    told = landings(found)
    triples = last_triples(view, found, brackets(found), 1)
    strip = strip_of_day(view, found, len(found.read.sessions) - 1)
    need = told.latest.inside.need if told.latest else ""
    return TodayContent(
        LastBall(**rows[0]),
        triples[0] if triples else None,
        strip,
        told.latest,
        told.gate if told.gate.through.value is not None else None,
        need,
        cap,
    )


@router.post("/players/{player_id}/strike")
async def strike(reader: ReaderOf, player_id: str) -> Response:
    """The coach's word on one ball: a mishit, or clean after all."""
    player = reader.card(player_id)
    fields = await reader.form()
    reader.needs("import")
    action = "mishit" if fields.get("mishit") == "yes" else "clean"
    await _correct(reader, player, [Correction(action, fields.get("event_id", ""))])
    return reader.go(f"/players/{player_id}/today")


async def _correct(reader: Reader, player: PlayerCard, made: list[Correction]) -> None:
    store, who = reader.service.settings.store, reader.caller.coach or reader.caller.key_id

    def write() -> None:
        correct(store, player.player_id, made, by=who)

    await reader.service.runner.run(write)
    await reader.service.changed(player.player_id)


@router.post("/players/{player_id}/undo-last")
async def undo_last(reader: ReaderOf, player_id: str) -> Response:
    """Take back what came into the player's book last, whatever it was."""
    player = reader.card(player_id)
    await reader.form()
    reader.needs("import")
    store = reader.service.settings.store
    found = await reader.service.runner.run(imports_of, store, player.player_id, False)
    if found:
        last = max(found, key=lambda one: one.imported_at_utc)
        await reader.service.runner.run(take_back, store, last.import_id)
        await reader.service.changed(player_id)
        return reader.go(f"/players/{player_id}/today?undone={last.import_id}")
    return reader.go(f"/players/{player_id}/today")


@router.post("/players/{player_id}/window")
async def set_window(reader: ReaderOf, player_id: str) -> Response:
    """Note the day's landing window."""
    player = reader.card(player_id)
    fields = await reader.form()
    reader.needs("import")
    row = conditions_row(
        {"window_near": fields.get("near"), "window_far": fields.get("far")},
        unit=reader.view.length,
    )
    day, store = local_day(fields.get("day", ""), player), reader.service.settings.store
    who = load_player(store, player_id)
    await reader.service.runner.run(enter_conditions, store, who, day, row)
    await reader.service.changed(player_id)
    return reader.go(f"/players/{player_id}/today")


def local_day(said: str, player: PlayerCard) -> date:
    """The day said as 2026-05-01; the player's own today when it is no day."""
    try:
        return date.fromisoformat(said)
    except ValueError:
        return datetime.now(UTC).astimezone(ZoneInfo(player.zone)).date()
