"""The log of reads: which app read what about whom, for the coach to see.

Reads are gathered in memory and written together about twice a second, on every look at the log
and at the end of the service; over a connection of its own, so that nobody waits for the writing,
nor for the tidying of the state file that is done on the way.
"""

from dataclasses import dataclass
from pathlib import Path

from api.access import Caller
from api.service_state import ServiceState, Value, now

INSERT = (
    "INSERT INTO reads(at, key_id, player_id, route, status)"
    " VALUES (:at, :key_id, :player_id, :route, :status)"
)


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

    def note(self, caller: Caller, player_id: str, route: str, status: int) -> None:
        """Remember one read; the coach's own are not logged."""
        if caller.owner or status >= 400:
            return
        self._gathered.append(
            {
                "at": now(),
                "key_id": caller.key_id,
                "player_id": player_id,
                "route": route,
                "status": status,
            }
        )

    def write(self) -> None:
        """Write what was gathered."""
        if self._gathered:
            gathered, self._gathered = self._gathered, []
            self._state.run_many(INSERT, gathered)
        self._state.tidy()

    def close(self) -> None:
        """Write what was gathered and let go of the file."""
        self.write()
        self._state.close()

    def forget_player(self, player_id: str) -> None:
        """Drop what was gathered about an erased player."""
        self._gathered = [read for read in self._gathered if read["player_id"] != player_id]

    def after(self, seq: int, limit: int) -> list[Read]:
        """The reads after `seq`, oldest first."""
        self.write()
        statement = "SELECT * FROM reads WHERE seq > :seq ORDER BY seq LIMIT :n"
        return [Read(**dict(row)) for row in self._state.rows(statement, seq=seq, n=limit)]
