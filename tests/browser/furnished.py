"""Every page of a furnished book by name, those too that exist once somebody has acted."""

from pathlib import Path

from playwright.sync_api import Page

from analytics.db import open_store
from tests.api.pages.furnished_store import OPEN_UNIT, export_with_doubts
from tests.browser.page_list import PAGES, TOBIAS, WILMA


def addresses(page: Page, address: str, files: Path, book: Path) -> dict[str, str]:
    """Every page of the book by name, as paths. `files` may be written to."""
    file = files / OPEN_UNIT
    file.write_bytes(export_with_doubts().replace(b"2025-12-03", b"2025-12-04"))
    page.goto(f"{address}/imports")
    page.set_input_files("input[type=file]", [str(file)])
    page.get_by_role("button", name="Look at the files").click()
    page.wait_for_url("**/imports/look/**")
    look = page.url
    page.get_by_label("Arne").check()
    page.get_by_role("button", name="Take them in").click()
    page.get_by_role("link", name="See the carry curve").wait_for()
    jobs = page.url
    page.goto(f"{address}/imports")
    page.set_input_files("input[type=file]", [str(file)])
    page.get_by_role("button", name="Look at the files").click()
    page.wait_for_url("**/imports/look/**")
    look = page.url
    page.goto(f"{address}/imports?player={WILMA}")
    detail = page.get_by_role("link", name=OPEN_UNIT).first.get_attribute("href")
    with open_store(book, TOBIAS) as con:
        [[event]] = con.sql("SELECT event_id FROM shots ORDER BY struck_at_utc LIMIT 1").fetchall()
    acted = {
        "look": look.removeprefix(address),
        "jobs": jobs.removeprefix(address),
        "import": str(detail),
        "move": f"/players/{TOBIAS}/move?event={event}",
        "players-found": "/players?find=tob",
        "empty-player": "/players/plong1/today",
        "right-to-left": "/players/prtl11",
        "not-found": "/players/nobody99",
        "no-such-address": "/nowhere",
        "not-understood": f"/players/{TOBIAS}/plan?edge=18&hole=41&speed=99",
        "docs": "/docs",
    }
    return PAGES | acted
