"""A store with a few invented players, and a client of the service over it."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from api.app import make_app
from api.settings import Settings
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from tests.api.client import Client, client_of

START = datetime(2026, 5, 4, 17, tzinfo=UTC)
PLAYERS = (
    Player("pada1", "Ada", "left", zone="Europe/Dublin"),
    Player("pben2", "Ben", coach="mora"),
    Player("pcleo3", "Cleo", age_band="junior", guardian_consent=True),
    Player("pdan4", "Dan", age_band="junior", guardian_consent=False),
)


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A store of four players and no rows."""
    folder = tmp_path / "store"
    for player in PLAYERS:
        save_player(folder, player)
    return folder


def shot_rows(n: int, club: str = "SW", start: datetime = START) -> list[dict[str, object]]:
    """`n` struck balls a minute apart, each carrying a little further."""
    return [
        {
            "device_number": number,
            "struck_at_utc": start + timedelta(minutes=number),
            "club": club,
            "club_text": club,
            "club_speed_mps": 8.0 + number / 100,
            "carry_m": 7.0 + number / 50,
            "note": "=1+1" if number == 0 else f"ball {number}",
        }
        for number in range(n)
    ]


@pytest.fixture
def with_rows(store: Path) -> Path:
    """The store with 25 struck balls of Ada's and one of Ben's."""
    enter(store, "pada1", "shots", shot_rows(25))
    enter(store, "pben2", "shots", shot_rows(1))
    return store


@pytest.fixture
def client(store: Path) -> Iterator[Client]:
    """A client at the coach's own machine."""
    with client_of(make_app(Settings(store))) as made:
        yield made
