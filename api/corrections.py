"""Records corrections of rows, checks that the rows exist, and moves rows to another player."""

from collections.abc import Sequence
from pathlib import Path
from typing import TypedDict

import pyarrow as pa
import pyarrow.compute as pc

from analytics.db import open_store
from api.after_change import after_change
from ingest.clubs import read_club
from ingest.edits import Correction, correct
from ingest.errors import BadOption
from ingest.hand_entry import Cell, enter
from ingest.players import Player, find_player
from ingest.surfaces import read_surface
from schemas.tables import columns

BOOKKEEPING = {"event_id", "import_id", "source_line", "occurrence", "extra"}


class Recorded(TypedDict):
    """The entries that hold the correction."""

    import_ids: list[str]


def record(
    store: Path,
    player: Player,
    action: str,
    events: Sequence[str],
    *,
    by: str,
    target: str = "shots",
    value: str | None = None,
    why: str | None = None,
) -> Recorded:
    """Record one action on several rows of a player.

    A move writes the rows into the other player's part first, then marks them as moved here, so
    that an interruption leaves a row twice, never nowhere.

    Raises:
        BadOption: a row that the player does not have, or an action without its value,
            or a value that names no club.
    """
    rows = _rows(store, player, target, events)
    made: list[str] = []
    if action == "move_player":
        other = find_player(store, value or "")
        if other.player_id == player.player_id:
            raise BadOption("the rows are this player's already.", "name another player.")
        made.append(_copy(store, other, target, rows, by))
        value = other.player_id
        after_change(store, other.player_id)
    if action == "club":
        value = _club_kind(value or "")
    if action == "surface":
        value = read_surface(value or "")
    corrections = [Correction(action, event, target, value) for event in events]
    made.append(correct(store, player.player_id, corrections, by=by, reason=why).import_id)
    after_change(store, player.player_id)
    return Recorded(import_ids=made)


def _club_kind(text: str) -> str:
    """The kind that `text` names, so that `sand wedge` and `SW` stay one club."""
    kind = read_club(text).kind
    if kind is None:
        raise BadOption(
            "no club is called so.", "write a kind such as SW, PW or 9I.", column="club", value=text
        )
    return kind


def _rows(store: Path, player: Player, target: str, events: Sequence[str]) -> pa.Table:
    with open_store(store, player.player_id) as connection:
        relation = "shots_all" if target == "shots" else target
        found = connection.table(relation).to_arrow_table()
    found = found.filter(pc.is_in(found["event_id"], pa.array(list(events), pa.string())))
    missing = sorted(set(events) - set(found["event_id"].to_pylist()))
    if missing:
        raise BadOption(
            f"{player.display_name} has no {target} row {', '.join(missing)}.",
            "list the rows and their event ids with `carrybook export`.",
        )
    return found


def _copy(store: Path, other: Player, target: str, rows: pa.Table, by: str) -> str:
    names = [name for name in columns(target) if name not in BOOKKEEPING]
    copies: list[dict[str, Cell]] = rows.select(names).to_pylist()
    label = f"moved here by {by}"
    return enter(store, other.player_id, target, copies, source_name=label).import_id
