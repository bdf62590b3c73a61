"""Every page at both widths: nothing is cut off, comes from elsewhere or breaks the policy."""

import re

import pytest

from tests.browser.chromium import DESK, PHONE, Watch
from tests.browser.page_list import REFUSED

pytestmark = pytest.mark.browser
WIDE = "document.documentElement.scrollWidth > innerWidth"
CUT = (
    "[...document.querySelectorAll('main table')].filter(t => t.checkVisibility() && "
    "!t.closest('figure, .as-is') && t.getBoundingClientRect().right > innerWidth + 1).length"
)
"""Tables that stand on the page and reach beyond it; a chart's own table and a file's first rows
may be pushed sideways."""
LOW = (
    "[...document.querySelectorAll("
    "'a, button, input:not([type=hidden]), select, textarea, summary')]"
    ".filter(e => e.checkVisibility() && !e.matches('.skip')"
    " && getComputedStyle(e).display !== 'inline')"
    ".map(e => [e, (e.closest('label') || e).getBoundingClientRect().height])"
    ".filter(([e, height]) => height && height < 43.5)"
    ".map(([e, height]) => `${e.tagName} ${e.textContent.trim().slice(0, 20)} ${height}`)"
)
"""What a thumb is to hit and is lower than 44 px; links inside a sentence are let be."""
NOT_SWEPT = {
    "/": "leads on to another page, or is the first run, which has a test of its own",
    "/demo": "is there only while the demo is being built, which has a test of its own",
    "/demo/live": "events",
    "/jobs/live": "events",
    "/players/{player_id}/live": "events",
    "/players/{player_id}/chart/{name}.{kind}": "a file",
    "/players/{player_id}/sheet.pdf": "a file",
    "/players/{player_id}/card.pdf": "a file",
    "/docs.css": "a file",
    "/openapi.json": "a file",
    "/readyz": "for machines",
}


def opened(page, shown, name: str, watch: Watch) -> None:
    """Open a page; one that says what did not work has the status it should have."""
    answer = page.goto(shown.address + shown.paths[name])
    assert answer.status == REFUSED.get(name, 200), name
    if name in REFUSED:
        assert page.get_by_role("heading", name="That did not work").is_visible(), name
        watch.errors.clear()


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_no_page_is_cut_off_leaves_the_host_or_breaks_the_policy(browser, shown, size):
    context = browser.new_context(viewport=size, service_workers="block")
    page = context.new_page()
    watch = Watch(shown.address).over(page)
    wide, cut, low = [], [], {}
    for name in shown.paths:
        opened(page, shown, name, watch)
        if page.evaluate(WIDE):
            wide.append(name)
        if name != "docs" and page.evaluate(CUT):
            cut.append(name)
        if size is PHONE and name != "docs" and (found := page.evaluate(LOW)):
            low[name] = found
    context.close()
    assert wide == []
    assert cut == []
    assert low == {}
    assert watch.foreign == []
    assert watch.errors == []
    assert getattr(shown.app.state, "policy_reports", 0) == 0


def test_every_page_there_is_is_swept(shown):
    routes = {
        route.path
        for route in shown.app.router.routes
        if "GET" in (getattr(route, "methods", None) or ())
        and not route.path.startswith(("/v1/", "/health", "/metrics", "/static"))
    }
    paths = [path.partition("?")[0] for path in shown.paths.values()]
    shapes = {route: re.compile(re.sub(r"\{\w+\}", "[^/]+", route)) for route in routes}
    left = {r for r, shape in shapes.items() if not any(shape.fullmatch(p) for p in paths)}
    assert left - set(NOT_SWEPT) == set()


def test_the_sweep_sees_what_it_looks_for(browser, address, app):
    """Planted: a picture from elsewhere, a script of the page's own, a table that is too wide."""
    context = browser.new_context(viewport=PHONE, service_workers="block", bypass_csp=False)
    page = context.new_page()
    watch = Watch(address).over(page)
    page.goto(f"{address}/more")
    page.evaluate(
        "() => { const main = document.querySelector('main');"
        "const script = document.createElement('script'); script.textContent = '1';"
        "const picture = new Image(); picture.src = 'http://elsewhere.invalid/x.png';"
        "const wide = document.createElement('table');"
        "wide.append(document.createElement('td')); wide.style.width = '900px';"
        "main.append(script, picture, wide); }"
    )
    page.wait_for_timeout(500)
    assert page.evaluate(WIDE)
    assert page.evaluate(CUT) == 1
    assert watch.errors
    assert getattr(app.state, "policy_reports", 0) > 0
    context.close()
