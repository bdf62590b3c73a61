"""The feed of changes: found by looking at the store, so it misses nobody's work.

Whoever changed the store (this service, the command line, a watched folder), the next look compares
each player's imports with what the feed told last and appends what is new. A cursor is the number
of the last change seen; one that was never given out is refused, so that an app whose cursor
outlived the feed starts again instead of missing changes.
"""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from analytics.store_files import import_ids, version
from api.access import Caller
from api.errors import not_found
from api.forgetting import forget_player
from api.player_cards import PlayerCard, PlayerCards, Stamp
from api.service_state import Row, ServiceState, now

ChangeType = Literal[
    "player.added",
    "player.withdrawn",
    "player.erased",
    "import.finished",
    "import.undone",
    "profile.changed",
]
KNOW = (
    "INSERT INTO known_players VALUES (:player, :coach, :leave, :version, :imports)"
    " ON CONFLICT (player_id) DO UPDATE SET coach = excluded.coach,"
    " may_leave = excluded.may_leave, version = excluded.version, imports = excluded.imports"
)
TELL = (
    "INSERT INTO changes(at, type, player_id, import_id, coach, may_leave)"
    " VALUES (:at, :type, :player, :import_id, :coach, :leave)"
)


@dataclass(frozen=True)
class Change:
    """One change, as the feed tells it."""

    seq: int
    at: str
    type: ChangeType
    player_id: str
    import_id: str | None


class ChangeFeed:
    """Finds and tells the changes of one store."""

    def __init__(self, store: Path, state: ServiceState, players: PlayerCards) -> None:
        self._store = store
        self._state = state
        self._players = players
        self._looked: dict[str, Stamp] = {}

    def look(self) -> None:
        """Append what changed since the last look, by whichever process."""
        ids = self._players.ids()
        for player_id in ids:
            self.look_for(player_id)
        self._look_for_erased(set(ids))

    def look_for(self, player_id: str) -> None:
        """Append what changed about one player."""
        stamp = self._players.stamp(player_id)
        if stamp is None or self._looked.get(player_id) == stamp:
            return
        card = self._players.at(player_id, stamp)
        if card is not None:
            self._look_at(card)
            if stamp.settled:
                self._looked[player_id] = stamp

    def _look_at(self, card: PlayerCard) -> None:
        state, player_id = self._state, card.player_id
        stands = version(self._store, player_id)
        with state.together():
            known = state.row("SELECT * FROM known_players WHERE player_id = :p", p=player_id)
            if known is not None and known["version"] == stands:
                return
            imports = import_ids(self._store, player_id)
            for change, import_id in _differences(known, card, imports):
                self._tell(change, card, import_id)
            state.run(
                KNOW,
                player=player_id,
                coach=card.coach,
                leave=int(card.may_leave),
                version=stands,
                imports=json.dumps(imports),
            )

    def _tell(self, change: ChangeType, card: PlayerCard, import_id: str | None) -> None:
        self._state.run(
            TELL,
            at=now(),
            type=change,
            player=card.player_id,
            import_id=import_id,
            coach=card.coach,
            leave=int(card.may_leave or change == "player.withdrawn"),
        )

    def _look_for_erased(self, ids: set[str]) -> None:
        for row in self._state.rows("SELECT player_id FROM known_players"):
            if row["player_id"] not in ids:
                forget_player(self._state, row["player_id"])
                self._looked.pop(row["player_id"], None)

    def last(self) -> int:
        """Number of the last change told."""
        row = self._state.row("SELECT seq FROM sqlite_sequence WHERE name = 'changes'")
        return 0 if row is None else int(row["seq"])

    def since(self, caller: Caller, seq: int, limit: int) -> tuple[list[Change], int]:
        """The changes after `seq` that the caller may know of, and the cursor to go on with.

        Raises:
            Problem: 404 for a cursor that was never given out.
        """
        if seq > self.last():
            raise not_found("such cursor", "Start again with since=0 and fetch everything anew.")
        statement = "SELECT * FROM changes WHERE seq > :seq ORDER BY seq LIMIT :n"
        rows = self._state.rows(statement, seq=seq, n=limit)
        told = [_change(row) for row in rows if self.tells(caller, row)]
        return told, int(rows[-1]["seq"]) if rows else seq

    def tells(self, caller: Caller, row: Row) -> bool:
        """Whether the caller may know of a change."""
        card = self._players.get(row["player_id"])
        gone = row["type"] in {"player.erased", "player.withdrawn"}
        if card is not None and not gone:
            return caller.sees(card)
        if not gone or not (row["may_leave"] or caller.owner):
            return False
        if caller.coach and row["coach"] != caller.coach:
            return False
        if caller.players is None or row["player_id"] in caller.players:
            return True
        return caller.key_id in json.loads(row["named_in"])


def _change(row: Row) -> Change:
    return Change(**{name: row[name] for name in Change.__dataclass_fields__})


def _differences(
    known: Row | None, card: PlayerCard, imports: list[str]
) -> list[tuple[ChangeType, str | None]]:
    """What to tell about a player whose state is not the one told last."""
    before = set(json.loads(known["imports"])) if known else set()
    found: list[tuple[ChangeType, str | None]] = []
    if known is None:
        found.append(("player.added", None))
    elif known["may_leave"] and not card.may_leave:
        found.append(("player.withdrawn", None))
    found += [("import.finished", name) for name in imports if name not in before]
    found += [("import.undone", name) for name in sorted(before - set(imports))]
    found.append(("profile.changed", None))
    return found
