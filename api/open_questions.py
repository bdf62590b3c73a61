"""The questions that standing imports left open, from their ledgers."""

from pathlib import Path
from typing import TypedDict

from ingest.players import all_players, find_player
from ingest.store import ledgers


class OpenQuestion(TypedDict):
    """One open question of one import, as its ledger holds it."""

    import_id: str
    player_id: str
    source_name: str
    id: str
    column: str
    header: str
    kind: str
    candidates: list[str]
    lines: list[int]
    why: str


def open_questions(store: Path, player: str | None, import_id: str | None) -> list[OpenQuestion]:
    """Open questions, oldest import first; of one player or one import when said.

    Imports that a later reading of the same bytes replaced have none.
    """
    players = [find_player(store, player)] if player else all_players(store)
    entries = [entry for one in players for entry in ledgers(store, one.player_id)]
    replaced = {entry.supersedes for entry in entries}
    found: list[OpenQuestion] = []
    for entry in sorted(entries, key=lambda entry: entry.imported_at_utc):
        wanted = import_id is None or entry.import_id.startswith(import_id)
        if entry.import_id in replaced or not wanted:
            continue
        for question in entry.details.get("questions", []):
            found.append(
                OpenQuestion(
                    import_id=entry.import_id,
                    player_id=entry.player_id,
                    source_name=entry.source_name,
                    id=question["id"],
                    column=question["column"],
                    header=question["header"],
                    kind=question["kind"],
                    candidates=question["candidates"],
                    lines=question["lines"],
                    why=question["why"],
                )
            )
    return found
