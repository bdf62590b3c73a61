"""Every page through axe-core: nothing serious or critical, by day and by night."""

import pytest

from tests.browser.chromium import AXE, DESK, PHONE
from tests.browser.page_list import PAGES

pytestmark = pytest.mark.browser
RUN = (
    "axe.run(document, {resultTypes: ['violations']}).then(r => r.violations.map("
    "v => ({id: v.id, impact: v.impact, nodes: v.nodes.map(n => n.html.slice(0, 160))})))"
)


@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "light"), (DESK, "dark")])
def test_no_page_has_a_serious_finding(browser, address, size, scheme):
    context = browser.new_context(
        viewport=size, color_scheme=scheme, service_workers="block", bypass_csp=True
    )
    page = context.new_page()
    source = AXE.read_text("utf-8")
    serious = {}
    for name, path in PAGES.items():
        page.goto(address + path)
        page.evaluate(source)
        found = [v for v in page.evaluate(RUN) if v["impact"] in {"serious", "critical"}]
        if found:
            serious[name] = found
    context.close()
    assert serious == {}
