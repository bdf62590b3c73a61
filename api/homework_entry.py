"""Homework between the reader and the store: propose, give, report, list."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Literal

from analytics.db import Connection, open_store
from analytics.errors import NoSuchHomework
from analytics.homework import GivenHomework, homework
from analytics.open_points import open_points
from analytics.practice_plan import Homework, PracticePlan, plan_practice
from api.entries import Entered, enter_rows, fresh_entry_id
from api.reader_units import ReaderUnits
from api.wording import Wording
from ingest.hand_entry import Cell
from ingest.players import Player

Outcome = Literal["done", "part", "not_done", "dropped"]
BOX = {"done": "[x]", "part": "[/]", "not_done": "[ ]", "dropped": "[-]"}


@dataclass(frozen=True)
class Report:
    """What came of a piece of homework, as a person says it."""

    homework_id: str
    outcome: Outcome
    balls_done: int | None = None
    note: str | None = None
    entry_id: str = ""


def proposal(store: Path, who: Player, cap: int | None = None) -> PracticePlan:
    """Homework from what is open with a player; nothing is written."""
    connection = open_store(store, who.player_id)
    try:
        found = open_points(connection, who.player_id)
    finally:
        connection.close()
    return plan_practice(found.points, found.missing, who.age_band, cap)


def give(
    store: Path,
    who: Player,
    pieces: Sequence[Homework],
    *,
    by: str | None = None,
    due: date | None = None,
    now: datetime | None = None,
) -> Entered:
    """Give pieces of homework to a player as one batch."""
    at = now or datetime.now(UTC)
    rows = [_set_row(piece, fresh_entry_id(), at, by, due) for piece in pieces]
    return enter_rows(store, who, "homework", rows)


def report(
    store: Path,
    who: Player,
    said: Report,
    *,
    by: str | None = None,
    now: datetime | None = None,
) -> Entered:
    """Keep what came of a piece of homework; its id may be shortened while it stays unmistakable.

    Raises: NoSuchHomework when no, or more than one, piece is meant.
    """
    connection = open_store(store, who.player_id)
    try:
        given = homework(connection, who.player_id)
    finally:
        connection.close()
    homework_id = _meant(said.homework_id, given)
    row: dict[str, Cell] = {
        "entry_id": said.entry_id or fresh_entry_id(),
        "homework_id": homework_id,
        "entry": "report",
        "said_at_utc": now or datetime.now(UTC),
        "said_by": by,
        "outcome": said.outcome,
        "balls_done": said.balls_done,
        "note": said.note,
    }
    return enter_rows(store, who, "homework", [row])


def given_homework(connection: Connection, player_id: str) -> list[GivenHomework]:
    """All homework of a player, what is open first."""
    return sorted(homework(connection, player_id), key=lambda one: not one.is_open)


def plan_lines(plan: PracticePlan) -> Iterator[str]:
    """A proposed plan in words."""
    for piece in plan.pieces:
        club = f" with {piece.club}" if piece.club else ""
        yield f"{piece.title}{club}: {piece.blocks} × {piece.balls_per_block} balls"
        yield f"  why: {piece.why}"
        yield f"  {piece.task}"
        yield f"  {piece.stop_rule}"
        yield f"  target: {piece.target_text}"
    yield (
        f"{plan.balls} balls in all, at most {plan.cap} on one day; rest every"
        f" {plan.rest_every} balls."
    )
    yield from caution_sentences(plan)


def caution_sentences(plan: PracticePlan) -> list[str]:
    """The cautions of a plan as sentences."""
    words = Wording("en", ReaderUnits())
    return [words.text(f"caution.{caution}") for caution in plan.cautions]


def given_lines(given: Sequence[GivenHomework]) -> Iterator[str]:
    """Given homework in words, one line each."""
    for one in given:
        due = f", due {one.due_day}" if one.due_day else ""
        done = f", {one.balls_done} balls done" if one.balls_done else ""
        size = f"{one.blocks} × {one.balls_per_block}" if one.blocks else ""
        box = BOX.get(one.outcome or "", "[ ]")
        yield f"{box} {one.homework_id[:8]} {one.title} {size}{due}{done}"


def plan_document(player_id: str, plan: PracticePlan) -> dict[str, object]:
    """A proposed plan as JSON tells it."""
    return {
        "player_id": player_id,
        "pieces": [asdict(piece) | {"balls": piece.balls} for piece in plan.pieces],
        "balls": plan.balls,
        "cap": plan.cap,
        "rest_every": plan.rest_every,
        "cautions": caution_sentences(plan),
    }


def _set_row(
    piece: Homework, homework_id: str, at: datetime, by: str | None, due: date | None
) -> dict[str, Cell]:
    return {
        "entry_id": f"{homework_id}/set",
        "homework_id": homework_id,
        "entry": "set",
        "said_at_utc": at,
        "said_by": by,
        "due_day": due,
        "focus": piece.focus,
        "title": piece.title,
        "task": piece.task,
        "club": piece.club,
        "test": piece.test or None,
        "blocks": piece.blocks,
        "balls_per_block": piece.balls_per_block,
        "stop_rule": piece.stop_rule,
        "target_text": piece.target_text,
        "note": piece.why,
    }


def _meant(start: str, given: Sequence[GivenHomework]) -> str:
    hits = [one.homework_id for one in given if start and one.homework_id.startswith(start)]
    if len(hits) != 1:
        said = "No homework begins" if not hits else f"{len(hits)} pieces begin"
        raise NoSuchHomework(
            f"{said} with {start!r}.", "list them with `carrybook homework --player NAME`"
        )
    return hits[0]
