"""Pictures of every page into `docs/screens`: `python -m tests.browser.screens [FOLDER]`.

Each page on a phone by day and on a desk by night, over the demo's players.
"""

import sys
import tempfile
from pathlib import Path

from api.app import make_app
from api.settings import Settings
from tests.api.live_server import serving
from tests.api.pages.demo_store import fill
from tests.browser.chromium import DESK, PHONE, chromium
from tests.browser.page_list import PAGES

QUALITY = 62
KINDS = (("phone", PHONE, "light"), ("desk", DESK, "dark"))


def shoot(folder: Path) -> int:
    """Take every picture; returns how many."""
    folder.mkdir(parents=True, exist_ok=True)
    count = 0
    with tempfile.TemporaryDirectory() as place, chromium() as browser:
        store, empty = Path(place) / "store", Path(place) / "empty"
        fill(store)
        with (
            serving(make_app(Settings(store)), timeout_graceful_shutdown=1) as full,
            serving(make_app(Settings(empty)), timeout_graceful_shutdown=1) as bare,
        ):
            places = {name: full + path for name, path in PAGES.items()} | {"first-run": bare + "/"}
            for kind, size, scheme in KINDS:
                context = browser.new_context(
                    viewport=size, color_scheme=scheme, service_workers="block"
                )
                page = context.new_page()
                for name, address in places.items():
                    page.goto(address)
                    path = folder / f"{name}-{kind}.jpg"
                    page.screenshot(path=path, full_page=True, type="jpeg", quality=QUALITY)
                    count += 1
                context.close()
    return count


if __name__ == "__main__":
    where = Path(sys.argv[1]) if len(sys.argv) > 1 else Path("docs/screens")
    sys.stdout.write(f"{shoot(where)} pictures in {where}\n")
