"""A store with a few invented players, and a client of the service over it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from api.app import make_app
from api.settings import Settings
from ingest.players import Player, save_player
from tests.api.client import Client, client_of

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


@pytest.fixture
def client(store: Path) -> Iterator[Client]:
    """A client at the coach's own machine."""
    with client_of(make_app(Settings(store))) as made:
        yield made
