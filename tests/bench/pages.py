"""What the pages weigh and how long they take, beside a blank page and a static one.

Bytes and times in the browser are of a first visit with nothing kept; the render ratio is of a kept
page asked again, as most visits are, with the first rendering told beside it.
"""

import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from fastapi import FastAPI
from starlette.responses import HTMLResponse

from api.app import make_app
from api.page_frame import page_router
from api.settings import Settings
from tests.api.client import Client, client_of
from tests.api.live_server import serving
from tests.api.pages.demo_store import fill
from tests.bench.rows import Row
from tests.browser.chromium import PHONE, chromium
from tests.browser.page_list import PAGES

GROUP = "pages"
MOST_BYTES, MOST_SCRIPT_BYTES = 120_000, 15_000
MOST_LOAD, MOST_RENDER = 1.3, 3.0
LOADS, RENDERS = 11, 15
BLANK = "<!doctype html><html lang=en><title>blank</title><p>blank</p></html>"


def rows(quick: bool = False) -> list[Row]:
    """Bytes, load ratio and render ratio of the pages."""
    with tempfile.TemporaryDirectory() as place:
        store = Path(place) / "store"
        fill(store, ("Tobias", "Wilma", "Arne", "Lio", "Petra"))
        with serving(_app(store), timeout_graceful_shutdown=1) as address:
            found = _in_browser(address)
        with client_of(_app(store)) as client:
            return found + _rendered(client)


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
    weights, scripts = {}, 0
    with chromium() as browser:
        for name, path in PAGES.items():
            context = browser.new_context(viewport=PHONE, service_workers="block")
            page = context.new_page()
            sizes: dict[str, int] = {}
            page.on("response", lambda answer, kept=sizes: kept.update({answer.url: 0}))
            page.goto(address + path)
            for url in list(sizes):
                sizes[url] = len(context.request.get(url).body())
            weights[name] = sum(sizes.values())
            scripts = max(scripts, sum(s for url, s in sizes.items() if url.endswith(".js")))
            context.close()
        heaviest = max(weights, key=lambda name: weights[name])
        ratio, paint_ms = _load_ratio(browser, address)
    return [
        _value("first load, heaviest page, bytes", weights[heaviest], MOST_BYTES),
        _value("JavaScript, bytes", scripts, MOST_SCRIPT_BYTES),
        Row("load ÷ blank page", GROUP, None, ratio, f"≤ {MOST_LOAD}", ratio <= MOST_LOAD),
        Row("first contentful paint, ms", GROUP, paint_ms, None, "told", True),
    ]


def _load_ratio(browser, address: str) -> tuple[float, float]:
    """Load (click to load event) ÷ that of a blank page, interleaved; and the first paint.

    Medians over visits; the first visit to each page fills what is kept and is not counted.
    """
    context = browser.new_context(viewport=PHONE, service_workers="block")
    page = context.new_page()
    times: dict[str, list[float]] = {}
    paints = []
    for visit in range(LOADS + 1):
        for path in ("/blank", PAGES["today"], PAGES["carry-card"], PAGES["leave"]):
            page.goto(address + path)
            spent = page.evaluate(
                "(() => { const n = performance.getEntriesByType('navigation')[0];"
                " return n.loadEventEnd - n.startTime; })()"
            )
            if visit:
                times.setdefault(path, []).append(spent)
            paint = page.evaluate(
                "performance.getEntriesByName('first-contentful-paint')[0]?.startTime || 0"
            )
            paints.append(paint)
    context.close()
    blank = statistics.median(times.pop("/blank"))
    loaded = statistics.median(v for values in times.values() for v in values)
    return loaded / max(blank, 0.1), statistics.median(paints)


def _rendered(client: Client) -> list[Row]:
    kept, first = {}, {}
    for name, path in PAGES.items():
        first[name] = _once(client, path)
    time.sleep(0.1)
    static = _median(client, "/static/icon.svg")
    for name, path in PAGES.items():
        client.get(path)
        kept[name] = _median(client, path) / static
    slowest = max(kept, key=lambda name: kept[name])
    middle = statistics.median(kept.values())
    newly = statistics.median(first.values()) / static
    return [
        Row(
            "render ÷ static, median page",
            GROUP,
            None,
            middle,
            f"≤ {MOST_RENDER}",
            middle <= MOST_RENDER,
        ),
        Row(
            f"render ÷ static, slowest page ({slowest})",
            GROUP,
            None,
            kept[slowest],
            f"≤ {MOST_RENDER}",
            kept[slowest] <= MOST_RENDER,
        ),
        Row("first rendering after a change ÷ static, median", GROUP, None, newly, "told", True),
    ]


def _median(client: Client, path: str) -> float:
    return statistics.median(_once(client, path) for _ in range(RENDERS))


def _once(client: Client, path: str, clock: Callable[[], float] = time.perf_counter) -> float:
    start = clock()
    client.get(path)
    return clock() - start


def _value(name: str, value: float, most: float) -> Row:
    return Row(name, GROUP, value, None, f"≤ {most:g}", value <= most)
