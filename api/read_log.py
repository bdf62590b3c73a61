"""The log of reads: which app read what about whom, for the coach to see.

Reads are gathered in memory and written together about twice a second, on every look at the log
and at the end of the service; over a connection of its own, so that nobody waits for the writing,
nor for the tidying of the state file that is done on the way. Reads are kept for `KEPT_FOR`.
"""

import sqlite3
import threading
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from api.access import Caller
from api.keys import as_text
from api.service_state import ServiceState, Value, now

KEPT_FOR = timedelta(days=400)
"""A season and the one before; what is older says nothing that a coach still needs."""
AT_ONCE = 10_000
"""Old reads removed at one writing, so that none takes long."""

INSERT = (
    "INSERT INTO reads(at, key_id, player_id, route, status)"
    " VALUES (:at, :key_id, :player_id, :route, :status)"
)
FORGET = "DELETE FROM reads WHERE at < :old AND seq < (SELECT min(seq) FROM reads) + :most"


@dataclass(frozen=True)
class Read:
    """One read of a player's answers by an app."""

    seq: int
    at: str
    key_id: str
    player_id: str
    route: str
    status: int


class ReadLog:
    """Gathers and shows the reads of one service."""

    def __init__(self, store: Path) -> None:
        self._state = ServiceState(store)
        self._gathered: list[dict[str, Value]] = []
        self._hand = threading.Lock()

    def note(self, caller: Caller, player_id: str, route: str, status: int) -> None:
        """Remember one read; the coach's own are not logged."""
        if caller.owner or status >= 400:
            return
        read: dict[str, Value] = {
            "at": now(),
            "key_id": caller.key_id,
            "player_id": player_id,
            "route": route,
            "status": status,
        }
        with self._hand:
            self._gathered.append(read)

    def write(self) -> None:
        """Write what was gathered; it is gathered still where that fails. From any thread."""
        with self._hand:
            reads, self._gathered = self._gathered, []
        if reads:
            try:
                with self._state.together():
                    self._state.run_many(INSERT, reads)
                    self._state.run(FORGET, old=as_text(datetime.now(UTC) - KEPT_FOR), most=AT_ONCE)
            except sqlite3.Error:
                with self._hand:
                    self._gathered = reads + self._gathered
                raise
        self._state.tidy()

    def close(self) -> None:
        """Write what was gathered and let go of the file."""
        self.write()
        self._state.close()

    def forget_player(self, player_id: str) -> None:
        """Drop what was gathered about an erased player."""
        with self._hand:
            self._gathered = [read for read in self._gathered if read["player_id"] != player_id]

    def after(self, seq: int, limit: int) -> list[Read]:
        """The reads after `seq`, oldest first."""
        self.write()
        statement = "SELECT * FROM reads WHERE seq > :seq ORDER BY seq LIMIT :n"
        return [Read(**dict(row)) for row in self._state.rows(statement, seq=seq, n=limit)]
