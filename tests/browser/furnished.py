"""A book with all that a page can show: doubts, rows set aside, keys, a junior, long names.

`furnish(store)` adds it to the demo's players; `addresses(page, address)` opens what only exists
once somebody has acted (files looked at, a job done, a key shown once) and names every page.
"""

from pathlib import Path

from playwright.sync_api import Page

from analytics.db import open_store
from api.keys import create_key
from api.service_state import ServiceState
from demo_data.book import make_book
from ingest.hand_entry import enter
from ingest.import_file import import_file
from ingest.options import Options
from ingest.players import Player, load_player, save_player
from tests.api.pages.demo_store import _shots, fill
from tests.browser.page_list import ARNE, PAGES, TOBIAS, WILMA

LONG_NAME = "Maximiliana Konstanze von und zu Hohenstein-Wallersberg"
RIGHT_TO_LEFT = "نورة"
OPEN_UNIT = "no-unit-and-bad-rows.csv"


def furnish(store: Path) -> None:
    """The demo's players and all that makes a page more than its usual self."""
    fill(store)
    save_player(store, Player("plong1", LONG_NAME, "left", zone="Europe/Berlin"))
    save_player(store, Player("prtl11", RIGHT_TO_LEFT, "right", "junior", zone="Asia/Amman"))
    import_file(
        store,
        export_with_doubts(),
        load_player(store, WILMA),
        name=OPEN_UNIT,
        options=Options(zone="Europe/Berlin"),
    )
    _strangers(store)
    state = ServiceState(store)
    create_key(state, "Maren's phone", ["read:profiles", "import"], coach="Maren Ostrava")
    create_key(state, "green-side board", ["read:profiles"], players=[TOBIAS])
    state.close()


def export_with_doubts() -> bytes:
    """An export whose carry has no unit, with three rows that nobody can read."""
    header = "Shot,Local time,Club,Club speed (m/s),Ball speed (m/s),Launch angle (deg),Carry"
    rows = [f"{n},2025-12-03 10:{n:02}:00,SW,8.{n:02},8.{n:02},30,7.{n:02}" for n in range(1, 31)]
    rows[4] = "5,2025-12-03 10:05:00,SW,fast,8.05,30,7.05"
    rows[11] = "12,2025-12-03 10:12:00,SW,8.12,8.12,300,7.12"
    rows[20] = "21,2025-12-45 10:21:00,SW,8.21,8.21,30,7.21"
    return "\n".join([header, *rows, ""]).encode()


def _strangers(store: Path) -> None:
    """Arne's balls, taken in under Tobias' name one evening."""
    days = [day.session for day in make_book().days if day.session.player.player_id == ARNE]
    rows = [row for row in _shots(days[2]) if row["swing_length"] == "hip"][-9:]
    moved = [row | {"entry_id": f"stranger-{n}"} for n, row in enumerate(rows)]
    enter(store, TOBIAS, "shots", moved, source_name="evening.csv")


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
