"""What the pages weigh and how long they take, beside a blank page and a static one.

Bytes are of a first visit with nothing kept, as they come over the wire. Load is told twice: of
visits with the two common files in the browser, as all but the first are, and of first visits.
Rendering is told three times: of a page asked again; of a page asked 3 s after its player's data
changed, when the background has rendered it anew; and of one asked at once after a change, before
anything is ready.
"""

import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import urlsplit

from fastapi import FastAPI
from playwright.sync_api import Browser
from starlette.responses import HTMLResponse

from api.after_change import after_change
from api.app import make_app
from api.page_frame import page_router
from api.settings import Settings
from ingest.hand_entry import enter
from tests.api.client import Client, client_of
from tests.api.live_server import serving
from tests.api.pages.demo_store import fill
from tests.bench.rows import Row
from tests.browser.chromium import PHONE, chromium
from tests.browser.page_list import PAGES

GROUP = "pages"
MOST_BYTES, MOST_SCRIPT_BYTES = 120_000, 15_000
MOST_LOAD, MOST_RENDER = 1.3, 3.0
LOADS, RENDERS = 15, 15
MEASURED = ("today", "player", "carry-card", "leave", "plan")
REFRESHED_S = 3.0
BLANK = "<!doctype html><html lang=en><title>blank</title><p>blank</p></html>"


def rows(quick: bool = False) -> list[Row]:
    """Bytes, load ratio and render ratio of the pages."""
    with tempfile.TemporaryDirectory() as place:
        store = Path(place) / "store"
        fill(store, ("Tobias", "Wilma", "Arne", "Lio", "Petra"))
        with serving(_app(store), timeout_graceful_shutdown=1) as address:
            found = _in_browser(address)
        with client_of(_app(store)) as client:
            return found + _rendered(client, store)


def _app(store: Path) -> FastAPI:
    """The service with one blank page beside its own."""
    app = make_app(Settings(store, requests_per_minute=1_000_000))
    router = page_router()
    router.get("/blank")(_blank)
    app.router.routes[:0] = router.routes
    return app


async def _blank() -> HTMLResponse:
    return HTMLResponse(BLANK)


def _in_browser(address: str) -> list[Row]:
    weights: dict[str, int] = {}
    scripts = 0
    with chromium() as browser:
        for name, path in PAGES.items():
            weights[name], script = _first_visit(browser, address + path)
            scripts = max(scripts, script)
        heaviest = max(weights, key=lambda name: weights[name])
        by_page, ratio, paint_ms = _load_ratios(browser, address, first_visits=False)
        _, first_ratio, first_paint_ms = _load_ratios(browser, address, first_visits=True)
    return [
        _value(f"first load, heaviest page ({heaviest}), bytes", weights[heaviest], MOST_BYTES),
        _value("JavaScript, bytes", scripts, MOST_SCRIPT_BYTES),
        Row("load ÷ blank page", GROUP, None, ratio, f"≤ {MOST_LOAD}", ratio <= MOST_LOAD),
        *(
            Row(f"load ÷ blank page, {name}", GROUP, None, one, f"≤ {MOST_LOAD}", one <= MOST_LOAD)
            for name, one in by_page.items()
        ),
        Row("load ÷ blank page, first visits", GROUP, None, first_ratio, "told", True),
        Row("first contentful paint, ms", GROUP, paint_ms, None, "told", True),
        Row("first contentful paint, first visits, ms", GROUP, first_paint_ms, None, "told", True),
    ]


def _first_visit(browser: Browser, address: str) -> tuple[int, int]:
    """Bytes over the wire of all that a page loads, and of its scripts among them."""
    context = browser.new_context(viewport=PHONE, service_workers="block")
    page = context.new_page()
    network = context.new_cdp_session(page)
    network.send("Network.enable")
    paths: dict[str, str] = {}
    sizes: dict[str, int] = {}
    network.on(
        "Network.responseReceived",
        lambda seen: paths.update({seen["requestId"]: seen["response"]["url"]}),
    )
    network.on(
        "Network.loadingFinished",
        lambda seen: sizes.update({seen["requestId"]: int(seen["encodedDataLength"])}),
    )
    page.goto(address)
    page.wait_for_timeout(100)
    context.close()
    scripts = sum(size for key, size in sizes.items() if urlsplit(paths[key]).path.endswith(".js"))
    return sum(sizes.values()), scripts


LOADED = (
    "(() => { const n = performance.getEntriesByType('navigation')[0];"
    " return n.loadEventEnd - n.startTime; })()"
)
PAINTED = (
    "new Promise(done => { new PerformanceObserver(seen => { const one = "
    "seen.getEntriesByName('first-contentful-paint')[0]; if (one) done(one.startTime); })"
    ".observe({type: 'paint', buffered: true}); setTimeout(() => done(NaN), 3000); })"
)


def _load_ratios(
    browser: Browser, address: str, first_visits: bool
) -> tuple[dict[str, float], float, float]:
    """Load (click to load event) ÷ that of a blank page: by page, of all; the first paint in ms.

    Interleaved, medians over visits. Every measured visit, also a blank one, leaves a blank page,
    so that none pays for taking down what was there. The first round fills what is kept and is not
    counted.
    """
    context = browser.new_context(viewport=PHONE, service_workers="block")
    page = context.new_page()
    times: dict[str, list[float]] = {}
    paints = []
    for visit in range(LOADS + 1):
        for name in ("", *MEASURED):
            if first_visits:
                context.close()
                context = browser.new_context(viewport=PHONE, service_workers="block")
                page = context.new_page()
            page.goto(address + "/blank")
            page.goto(address + (PAGES[name] if name else "/blank"))
            if visit:
                times.setdefault(name, []).append(page.evaluate(LOADED))
            if visit and name:
                paints.append(page.evaluate(PAINTED))
    context.close()
    blank = statistics.median(times.pop(""))
    by_page = {name: statistics.median(seen) / blank for name, seen in times.items()}
    every = statistics.median(one for seen in times.values() for one in seen) / blank
    return by_page, every, statistics.median(paints)


def _rendered(client: Client, store: Path) -> list[Row]:
    for path in PAGES.values():
        client.get(path)
    time.sleep(0.1)
    kept, static = {}, _median(client, "/static/icon.svg")
    for name, path in PAGES.items():
        client.get(path)
        kept[name] = _median(client, path) / static
    slowest = max(kept, key=lambda name: kept[name])
    later = _after_changes(client, store, REFRESHED_S)
    at_once = _after_changes(client, store, 0.0)
    return [
        _ratio("render ÷ static, median page", statistics.median(kept.values())),
        _ratio(f"render ÷ static, slowest page ({slowest})", kept[slowest]),
        _ratio("3 s after a change ÷ static, median page", statistics.median(later) / static),
        _ratio("3 s after a change ÷ static, slowest page", max(later) / static),
        Row(
            "at once after a change ÷ static, median page",
            GROUP,
            None,
            statistics.median(at_once) / static,
            "told",
            True,
        ),
    ]


def _after_changes(client: Client, store: Path, wait_s: float) -> list[float]:
    """Seconds each page of a player takes the first time after a mark came into the book."""
    found = []
    for path in PAGES.values():
        player_id = path.removeprefix("/players/")[:6]
        if not path.startswith("/players/"):
            continue
        client.get(path)
        enter(store, player_id, "marks", [_mark()])
        after_change(store, player_id)
        time.sleep(wait_s)
        found.append(_once(client, path))
    return found


def _median(client: Client, path: str) -> float:
    return statistics.median(_once(client, path) for _ in range(RENDERS))


def _once(client: Client, path: str, clock: Callable[[], float] = time.perf_counter) -> float:
    start = clock()
    client.get(path)
    return clock() - start


def _mark() -> dict[str, object]:
    now = datetime.now(UTC)
    return {"ball_number": 1, "marked_at_utc": now, "land_past_edge_m": 1.0, "entry_id": str(now)}


def _ratio(name: str, ratio: float) -> Row:
    return Row(name, GROUP, None, ratio, f"≤ {MOST_RENDER}", ratio <= MOST_RENDER)


def _value(name: str, value: float, most: float) -> Row:
    return Row(name, GROUP, value, None, f"≤ {most:g}", value <= most)
