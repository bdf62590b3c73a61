"""Doubts: questions that files left open and rows that look like somebody else's, one tap each."""

from collections.abc import Mapping
from dataclasses import dataclass

from starlette.responses import Response

from analytics.db import Connection
from analytics.foreign_rows import ForeignRun, foreign_rows
from api.corrections import record
from api.errors import Problem
from api.imports_seen import ImportSeen, imports_of, one_import
from api.jobs import create_job, new_job_id
from api.page_frame import Reader, ReaderOf, page_router
from api.pages_pairing import clock_doubts, clock_words
from api.player_cards import PlayerCard
from ingest.players import load_player
from ingest.units import unit_word

router = page_router()
MOST_PLAYERS = 60


@dataclass(frozen=True)
class Stranger:
    """A run of rows that look like another player's."""

    player: PlayerCard
    looks_like: PlayerCard | None
    run: ForeignRun


@router.get("/doubts")
async def doubts(reader: ReaderOf) -> Response:
    """Everything that waits for a person's word."""
    cards = reader.cards()[:MOST_PLAYERS]
    reader.shows(cards)
    asked = await reader.service.runner.run(_open_questions, reader, cards)
    clocks = await reader.service.runner.run(clock_doubts, reader, cards)
    strangers = await reader.ask()(_strangers, cards)
    return reader.page(
        "doubts.html",
        "doubts",
        asked=asked,
        strangers=strangers,
        clocks=clocks,
        clock=lambda offset_s: clock_words(reader, offset_s),
        names={card.player_id: card.display_name for card in cards},
        unit_word=unit_word,
    )


def _open_questions(reader: Reader, cards: list[PlayerCard]) -> list[ImportSeen]:
    store = reader.service.settings.store
    found = [one for card in cards for one in imports_of(store, card.player_id, undone=False)]
    replaced = {one.supersedes for one in found}
    return [one for one in found if one.questions and one.import_id not in replaced]


def _strangers(con: Connection, cards: list[PlayerCard]) -> list[Stranger]:
    known = {card.player_id: card for card in cards}
    return [
        Stranger(card, known.get(run.looks_like), run)
        for card in cards
        for run in foreign_rows(con, card.player_id)
    ]


@router.post("/doubts/{import_id}/answer")
async def answer(reader: ReaderOf, import_id: str) -> Response:
    """Answer one question; the file is read again with the answer."""
    fields = await reader.form()
    reader.needs("import")
    seen = one_import(reader.service, reader.caller, import_id)
    question, said = fields.get("question", ""), fields.get("said", "")
    offered = {one.id: one.candidates for one in seen.questions}
    if said not in offered.get(question, []):
        raise Problem(
            422, "no_such_answer", f"{said!r} is no answer to {question!r}.", "Choose one offered."
        )
    job_id = new_job_id()
    create_job(
        reader.service.state,
        job_id=job_id,
        kind="answers",
        player_id=seen.player_id,
        caller=reader.caller,
        request={"import_id": import_id, "answers": {question: said}},
    )
    reader.service.job_runner.call(job_id)
    return reader.go(f"/jobs?ids={job_id}")


@router.get("/players/{player_id}/move")
async def choose_owner(reader: ReaderOf, player_id: str, event: str = "") -> Response:
    """Who hit the ball instead."""
    player = reader.card(player_id)
    others = [card for card in reader.cards() if card.player_id != player_id]
    return reader.page("move.html", "today", player, others=others, events=event)


@router.post("/players/{player_id}/move")
async def move(reader: ReaderOf, player_id: str) -> Response:
    """Move rows to the player who hit them; it can be undone like any entry."""
    fields = await reader.form()
    reader.needs("import")
    player, other = reader.card(player_id), reader.card(fields.get("to", ""))
    events = [event for event in fields.get("events", "").split(",") if event]
    await reader.service.runner.run(_move, reader, player, other, events)
    await reader.service.changed(player.player_id)
    await reader.service.changed(other.player_id)
    return reader.go(_after_move(fields, player_id))


def _move(reader: Reader, player: PlayerCard, other: PlayerCard, events: list[str]) -> None:
    store = reader.service.settings.store
    who = load_player(store, player.player_id)
    by = reader.caller.coach or reader.caller.key_id
    record(store, who, "move_player", events, by=by, value=other.player_id, why="wrong student")


def _after_move(fields: Mapping[str, str], player_id: str) -> str:
    return "/doubts" if fields.get("from") == "doubts" else f"/players/{player_id}/today"
