"""A store with the demo's players, filled once, and a browser over a copy of it."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from api.app import make_app
from api.settings import Settings
from tests.api.client import client_of
from tests.api.pages.demo_store import fill
from tests.api.pages.forms import Browser


@pytest.fixture(scope="session")
def filled(tmp_path_factory) -> Path:
    """Two of the demo's players; never written to."""
    folder = tmp_path_factory.mktemp("filled") / "store"
    fill(folder, ("Tobias", "Arne"))
    return folder


@pytest.fixture
def book(filled: Path, tmp_path: Path) -> Path:
    """A copy of the filled store that a test may write to."""
    return Path(shutil.copytree(filled, tmp_path / "book"))


@pytest.fixture
def page(book: Path) -> Iterator[Browser]:
    """The coach's browser at the coach's own machine."""
    with client_of(make_app(Settings(book))) as client:
        yield Browser(client)


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Browser]:
    """The same over an empty store."""
    with client_of(make_app(Settings(tmp_path / "empty"))) as client:
        yield Browser(client)
