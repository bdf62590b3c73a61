"""Pictures of every page into `docs/screens`: `python -m tests.browser.screens [FOLDER]`.

Each page of a furnished book on a phone and on a desk, by day; the pages a coach opens most once
more by night. Long pages are cut: a picture shows what a page looks like, not all that is on it.
"""

import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path

from playwright.sync_api import Browser

from api.app import make_app
from api.settings import Settings
from tests.api.live_server import serving
from tests.api.pages.furnished_store import furnish
from tests.browser.chromium import DESK, PHONE, chromium
from tests.browser.furnished import addresses

QUALITY = 38
LONGEST = {"phone": 1900, "desk": 1300}
BY_NIGHT = {"today", "carry-card", "bracket", "landing", "leave", "marks"}
KINDS = (("phone", PHONE, "light"), ("desk", DESK, "light"))
NIGHT = (("phone-night", PHONE, "dark"), ("desk-night", DESK, "dark"))


def shoot(folder: Path) -> int:
    """Take every picture; returns how many."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place, chromium() as browser:
        store, empty = Path(place) / "store", Path(place) / "empty"
        furnish(store)
        with (
            serving(make_app(Settings(store)), timeout_graceful_shutdown=1) as full,
            serving(make_app(Settings(empty)), timeout_graceful_shutdown=1) as bare,
        ):
            context = browser.new_context(viewport=PHONE, service_workers="block")
            found = addresses(context.new_page(), full, Path(place), store)
            context.close()
            places = {name: full + path for name, path in found.items()}
            places["first-run"] = bare + "/"
            count = _take(browser, folder, KINDS, places)
            nightly = {name: places[name] for name in BY_NIGHT}
            count += _take(browser, folder, NIGHT, nightly)
            return count + _demo_coming_in(browser, folder, bare)


def _take(browser: Browser, folder: Path, kinds, places: Mapping[str, str]) -> int:
    count = 0
    for kind, size, scheme in kinds:
        context = browser.new_context(viewport=size, color_scheme=scheme, service_workers="block")
        page = context.new_page()
        for name, address in places.items():
            page.goto(address)
            _picture(page, folder / f"{name}-{kind}.jpg", LONGEST[kind.partition("-")[0]])
            count += 1
        context.close()
    return count


def _picture(page, path: Path, longest: int) -> None:
    """What stands on the page, its bar at the bottom of the picture."""
    width = page.viewport_size["width"]
    tall = page.evaluate("document.documentElement.scrollHeight")
    before = page.viewport_size
    page.set_viewport_size({"width": width, "height": min(max(tall, before["height"]), longest)})
    page.screenshot(path=path, type="jpeg", quality=QUALITY)
    page.set_viewport_size(before)


def _demo_coming_in(browser: Browser, folder: Path, bare: str) -> int:
    """The page shown while the demo is being built."""
    context = browser.new_context(viewport=PHONE, service_workers="block")
    page = context.new_page()
    page.goto(bare)
    page.get_by_role("button", name="Open the demo").click()
    page.get_by_role("progressbar").wait_for()
    _picture(page, folder / "demo-phone.jpg", LONGEST["phone"])
    page.set_viewport_size(DESK)
    _picture(page, folder / "demo-desk.jpg", LONGEST["desk"])
    page.wait_for_url("**/today", timeout=60_000)
    context.close()
    return 2


if __name__ == "__main__":
    where = Path(sys.argv[1]) if len(sys.argv) > 1 else Path("docs/screens")
    sys.stdout.write(f"{shoot(where)} pictures in {where}\n")
