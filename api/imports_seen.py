"""Imports as the service shows them, and finding one that the caller may know of."""

from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Annotated, Any

from fastapi import Path as PathParameter
from pydantic import Field

from api.access import Caller
from api.errors import not_found
from api.models import Body, PlayerId
from api.service import Service
from ingest.ledger import Ledger
from ingest.store import ledgers, read_ledger
from schemas import store_paths

LOOKS = 5
UNDONE = "undone"
ImportId = Annotated[
    str,
    PathParameter(
        pattern=r"^[0-9a-f]{32}$",
        description="Identity of an import.",
        examples=["f0350876ed46a72c09019872d3945636"],
    ),
]


class QuestionSeen(Body):
    """Something the file does not settle."""

    id: Annotated[
        str, Field(description="Its id, to be named in the answer.", examples=["unit:carry_m"])
    ]
    column: Annotated[str, Field(description="Column it is about.", examples=["carry_m"])]
    header: Annotated[str, Field(description="Header in the file.", examples=["Carry"])]
    candidates: Annotated[
        list[str], Field(description="Answers it takes.", examples=[["m", "[yd_i]"]])
    ]
    why: Annotated[str, Field(description="Why it is asked.", examples=["m and yd both fit."])]


class ImportSeen(Body):
    """One import: what came in and what became of every row."""

    import_id: Annotated[
        str,
        Field(
            description="Identity, from its content.", examples=["f0350876ed46a72c09019872d3945636"]
        ),
    ]
    player_id: PlayerId
    kind: Annotated[str, Field(description="What it holds.", examples=["launch"])]
    source_name: Annotated[str, Field(description="File name.", examples=["monday.csv"])]
    source_sha256: Annotated[
        str,
        Field(
            description="SHA-256 of the bytes.",
            examples=["f0350876ed46a72c31f4d9d2a7c8b7b98f5e3c6c1f0a4f0e2b2f8d9c7a6b5e41"],
        ),
    ]
    layout: Annotated[str, Field(description="Layout that read it.", examples=["field@1"])]
    imported_at_utc: Annotated[
        datetime, Field(description="When, UTC.", examples=["2026-05-04T17:30:00Z"])
    ]
    rows_in: Annotated[int, Field(description="Data rows in the file.", examples=[60])]
    rows_kept: Annotated[int, Field(description="Rows kept.", examples=[57])]
    rows_set_aside: Annotated[int, Field(description="Rows set aside.", examples=[2])]
    rows_repeated: Annotated[int, Field(description="Exact repeats in the file.", examples=[1])]
    questions: Annotated[list[QuestionSeen], Field(description="What stayed open.")]
    supersedes: Annotated[str | None, Field(description="Import it replaces.", examples=[None])]
    superseded_by: Annotated[
        str | None,
        Field(
            description="Import that replaces it: by its questions' answers, or a longer export."
            " Its own questions need no answer any more.",
            examples=[None],
        ),
    ] = None
    standing: Annotated[bool, Field(description="False once taken back.", examples=[True])]


def seen(ledger: Ledger, *, standing: bool, superseded_by: str | None = None) -> ImportSeen:
    """The import of a ledger entry."""
    told_here = {"questions", "standing", "superseded_by"}
    names = [name for name in ImportSeen.model_fields if name not in told_here]
    told: dict[str, Any] = {name: getattr(ledger, name) for name in names}
    asked = QuestionSeen.model_fields
    questions = [
        QuestionSeen(**{name: question[name] for name in asked})
        for question in ledger.details.get("questions", [])
    ]
    return ImportSeen(**told, questions=questions, standing=standing, superseded_by=superseded_by)


def imports_of(store: Path, player_id: str, undone: bool) -> list[ImportSeen]:
    """A player's imports that stand, or those taken back, newest first.

    Bytes that were taken back more than once are one import.
    """
    found = ledgers(store, player_id, undone=undone)
    by = {} if undone else _successors(found)
    newest: dict[str, Ledger] = {}
    for ledger in reversed(found):
        newest.setdefault(ledger.import_id, ledger)
    return [
        seen(ledger, standing=not undone, superseded_by=by.get(ledger.import_id))
        for ledger in newest.values()
    ]


def _successors(standing: list[Ledger]) -> dict[str, str]:
    """Import → the standing import that replaces it."""
    return {one.supersedes: one.import_id for one in standing if one.supersedes is not None}


def with_successor(store: Path, one: ImportSeen) -> ImportSeen:
    """The import with the one that replaces it, which another look at the player tells."""
    by = _successors(ledgers(store, one.player_id)) if one.standing else {}
    return one.model_copy(update={"superseded_by": by.get(one.import_id)})


def one_import(service: Service, caller: Caller, import_id: str) -> ImportSeen:
    """One import, if its player exists for the caller. Raises Problem 404."""
    for _ in range(LOOKS):
        with suppress(FileNotFoundError):  # taken back or brought back just now: look again
            folder, _ = folder_of(service, caller, import_id)
            return seen(read_ledger(folder), standing=UNDONE not in folder.parts)
    raise not_found("such import", "List them: GET /v1/imports?player_id=…")


def folder_of(service: Service, caller: Caller, import_id: str) -> tuple[Path, str]:
    """Where an import stands or was put aside, and its player. Raises Problem 404."""
    root = store_paths.root(service.settings.store)
    places = [*root.glob(f"player=*/import={import_id}")]
    gone = [*root.glob(f"{UNDONE}/player=*/import={import_id}@*")]
    for folder in [*places, *sorted(gone, reverse=True)]:
        player_id = folder.parent.name.removeprefix("player=")
        card = service.players.get(player_id)
        if card is not None and caller.sees(card):
            return folder, player_id
    raise not_found("such import", "List them: GET /v1/imports?player_id=…")
