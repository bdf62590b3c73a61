"""A served book and a browser for the tests that need one.

Without Chromium and Playwright on the machine these tests are not collected, and the header of the
run says so. CI installs both.
"""

import importlib.util
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from fastapi import FastAPI

from api.app import make_app
from api.settings import Settings
from tests.api.live_server import serving
from tests.api.pages.demo_store import fill
from tests.api.pages.furnished_store import furnish

HERE = importlib.util.find_spec("playwright") is not None and shutil.which("chromium") is not None
AXE_HERE = (Path(__file__).parents[2] / "node_modules" / "axe-core" / "axe.min.js").is_file()
collect_ignore_glob = [] if HERE else ["test_*.py"]
if not AXE_HERE:
    collect_ignore_glob.append("test_accessibility.py")


def pytest_report_header() -> str:
    if not HERE:
        return "browser tests left out: they need Debian's chromium and playwright"
    return "" if AXE_HERE else "accessibility left out: npm install --no-save axe-core"


if HERE:
    from tests.browser.chromium import PHONE, chromium
    from tests.browser.furnished import addresses

    @pytest.fixture(scope="session")
    def browser():
        """One browser for all tests."""
        with chromium() as running:
            yield running


@pytest.fixture(scope="session")
def filled(tmp_path_factory) -> Path:
    """The demo's players as rows; never written to."""
    folder = tmp_path_factory.mktemp("browser") / "store"
    fill(folder)
    return folder


@pytest.fixture
def book(filled: Path, tmp_path: Path) -> Path:
    """A copy of the filled store that a test may write to."""
    return Path(shutil.copytree(filled, tmp_path / "book"))


@pytest.fixture
def app(book: Path):
    """The application over the copy."""
    return make_app(Settings(book, requests_per_minute=100_000))


@pytest.fixture
def address(app) -> Iterator[str]:
    """Where the copy is served."""
    with serving(app, timeout_graceful_shutdown=1) as found:
        yield found


@dataclass(frozen=True)
class Shown:
    """A furnished book being served: its application, its address and every page by name."""

    app: FastAPI
    address: str
    paths: dict[str, str]


@pytest.fixture(scope="session")
def shown(browser, tmp_path_factory) -> Iterator[Shown]:
    """One furnished book for all sweeps; they only read it."""
    place = tmp_path_factory.mktemp("furnished")
    furnish(place / "store")
    app = make_app(Settings(place / "store", requests_per_minute=100_000))
    with serving(app, timeout_graceful_shutdown=1) as address:
        context = browser.new_context(viewport=PHONE, service_workers="block")
        paths = addresses(context.new_page(), address, place, place / "store")
        context.close()
        yield Shown(app, address, paths)


@pytest.fixture
def empty_address(tmp_path: Path) -> Iterator[str]:
    """Where an empty book is served."""
    with serving(make_app(Settings(tmp_path / "empty")), timeout_graceful_shutdown=1) as found:
        yield found
