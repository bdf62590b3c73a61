"""Balls and swings of a session side by side, as the pairing left them."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from analytics.db import Connection, ask


@dataclass(frozen=True)
class ListedBall:
    """A ball and its swing, None where none was found; `at_utc` is the launch device's clock."""

    shot_event_id: str
    ball_number: int | None
    swing_event_id: str | None
    swing_number: int | None
    at_utc: datetime | None
    probability: float | None
    n_rehearsals: int


@dataclass(frozen=True)
class ListedSwing:
    """A swing that struck no ball of the session; `at_utc` is the sensor's clock."""

    swing_event_id: str
    swing_number: int | None
    at_utc: datetime | None
    role: str
    ball_number: int | None
    probability: float


@dataclass(frozen=True)
class PairList:
    """The balls in the order of play, the other swings in the order of the sensor."""

    balls: tuple[ListedBall, ...]
    swings: tuple[ListedSwing, ...]


def pair_list(connection: Connection, session_id: str) -> PairList:
    """What the pairing made of each row of a session; empty for a session without balls."""
    rows = ask(connection, "pair_list", {"session_id": session_id}).to_pylist()
    return PairList(
        tuple(ListedBall(**_named(ListedBall, row)) for row in rows if row["kind"] == "ball"),
        tuple(ListedSwing(**_named(ListedSwing, row)) for row in rows if row["kind"] == "swing"),
    )


def _named(kind: type, row: dict[str, Any]) -> dict[str, Any]:
    return {name: row[name] for name in kind.__annotations__}
