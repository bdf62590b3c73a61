"""Every page through axe-core: nothing serious or critical, at both widths, by day and by night."""

import pytest

from tests.browser.chromium import AXE, DESK, PHONE

pytestmark = pytest.mark.browser
WHOLE = "{resultTypes: ['violations']}"
COLOURS = "{resultTypes: ['violations'], runOnly: ['color-contrast']}"
RUN = (
    "axe.run(document, %s).then(r => r.violations.map("
    "v => ({id: v.id, impact: v.impact, nodes: v.nodes.map(n => n.html.slice(0, 160))})))"
)


def serious(page, how: str = WHOLE) -> list[dict[str, object]]:
    """Findings nobody should have to live with."""
    found = page.evaluate(RUN % how)
    return [one for one in found if one["impact"] in {"serious", "critical"}]


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_no_page_has_a_serious_finding(browser, shown, size):
    """By day everything is looked at; by night, where only colours differ, the colours."""
    context = browser.new_context(viewport=size, service_workers="block", bypass_csp=True)
    context.add_init_script(AXE.read_text("utf-8"))  # there again when a page redraws itself
    context.route("**/live", lambda route: route.abort())
    page = context.new_page()
    found = {}
    for name, path in shown.paths.items():
        page.emulate_media(color_scheme="light")
        page.goto(shown.address + path)
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        by_day = serious(page)
        page.emulate_media(color_scheme="dark")
        findings = by_day + serious(page, COLOURS)
        if findings:
            found[name] = findings
    context.close()
    assert found == {}


def test_a_planted_fault_is_found(browser, shown):
    context = browser.new_context(viewport=PHONE, service_workers="block", bypass_csp=True)
    page = context.new_page()
    page.goto(f"{shown.address}/more")
    page.evaluate(
        "() => { const main = document.querySelector('main'); const faint = "
        "document.createElement('p'); faint.textContent = 'faint'; faint.style.color = '#bbb';"
        "faint.style.background = '#ccc'; main.append(new Image(), faint); }"
    )
    page.evaluate(AXE.read_text("utf-8"))
    assert {"image-alt", "color-contrast"} <= {one["id"] for one in serious(page)}
    context.close()
