"""A coach's day in a real browser: first run, imports, undo, marks without a network, the sheet."""

import re
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Error, expect

from analytics.db import open_store
from api.keys import create_key
from api.service_state import ServiceState
from demo_data.write import write_demo
from ingest.hand_entry import enter
from tests.api.live_server import serving
from tests.api.pages.demo_store import fill
from tests.browser.chromium import PHONE, Watch
from tests.browser.page_list import TOBIAS

pytestmark = pytest.mark.browser
expect.set_options(timeout=40_000)


@pytest.fixture(scope="module")
def exports(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("exports")
    write_demo(folder)
    return folder


@pytest.fixture
def phone(browser):
    context = browser.new_context(viewport=PHONE, service_workers="block")
    yield context.new_page()
    context.close()


def count(book: Path, table: str, player_id: str = TOBIAS) -> int:
    with open_store(book, player_id) as con:
        return int(con.sql(f"SELECT count(*) FROM {table}").fetchall()[0][0])


def bring(page, address: str, *files: Path) -> None:
    """Choose files and look at them."""
    page.goto(f"{address}/imports")
    page.set_input_files("input[type=file]", [str(file) for file in files])
    page.get_by_role("button", name="Look at the files").click()


def test_first_run_to_the_first_answer(phone, empty_address, exports):
    watch = Watch(empty_address).over(phone)
    phone.goto(empty_address)
    expect(phone.get_by_role("button", name="Open the demo")).to_be_visible()
    phone.get_by_role("link", name="Choose files").click()
    files = [exports / f"petra/2025-10-08_{kind}.csv" for kind in ("launch", "tempo")]
    phone.set_input_files("input[type=file]", [str(file) for file in files])
    phone.get_by_role("button", name="Look at the files").click()
    expect(phone.get_by_role("group", name="Whose are they?")).to_be_visible()
    assert phone.locator("fieldset").count() <= 3  # three plain questions at most
    phone.get_by_label("First name").fill("Nora")
    phone.get_by_role("button", name="Take them in").click()
    phone.get_by_role("link", name="See the carry curve").click()
    expect(phone.locator("figure").first).to_be_visible()
    expect(phone.get_by_text("too early").first).to_be_visible()
    assert not watch.foreign
    assert not watch.errors


def test_the_demo_is_opened_from_an_empty_book_with_its_progress_shown(phone, empty_address):
    watch = Watch(empty_address).over(phone)
    phone.goto(empty_address)
    phone.get_by_role("button", name="Open the demo").click()
    bar = phone.get_by_role("progressbar")
    expect(bar).to_be_visible()
    shares = [0.0]
    while phone.url.endswith("/demo"):
        with suppress(Error):  # the page may turn to Today between two looks
            shares += bar.evaluate_all("bars => bars.map(one => one.value)")
        phone.wait_for_timeout(100)
    assert shares == sorted(shares)
    assert len(set(shares)) > 2  # the bar moved by itself, without the page being loaded again
    expect(phone.get_by_role("heading", level=1)).to_be_visible()
    phone.get_by_role("link", name="Players").first.click()
    for name in ("Tobias", "Wilma", "Arne", "Lio", "Petra"):
        expect(phone.get_by_role("heading", name=name)).to_be_visible()
    phone.get_by_role("link", name="Tobias").click()
    phone.get_by_role("link", name="Carry card").click()
    expect(phone.locator("figure").first).to_be_visible()
    assert not watch.foreign
    assert not watch.errors


def test_an_open_page_shows_a_ball_that_comes_in_elsewhere(phone, address, book):
    phone.goto(f"{address}/players/{TOBIAS}/today")
    expect(phone.get_by_text("Last ball: number 48")).to_be_visible()
    now = datetime.now(UTC)
    ball = {"device_number": 7, "struck_at_utc": now, "club": "SW", "carry_m": 7.5}
    enter(book, TOBIAS, "shots", [ball | {"club_speed_mps": 8.6, "entry_id": "elsewhere"}])
    expect(phone.get_by_text("Last ball: number 1,")).to_be_visible()


def test_an_import_asks_whose_which_clock_and_which_unit(phone, address, book, tmp_path):
    file = tmp_path / "no-unit.csv"
    header = "Shot,Local time,Club,Club speed (m/s),Ball speed (m/s),Launch angle (deg),Carry"
    rows = [f"{n},2025-10-08 10:0{n}:00,SW,8.{n},8.{n},30,7.{n}" for n in range(1, 10)]
    file.write_text("\n".join([header, *rows, ""]))
    bring(phone, address, file)
    phone.get_by_label("Tobias").check()
    phone.get_by_label("Local times in the files").select_option("Europe/Berlin")
    phone.get_by_role("group", name="What is meant by").get_by_label("yd").check()
    before = count(book, "shots")
    phone.get_by_role("button", name="Take them in").click()
    expect(phone.get_by_role("link", name="See the carry curve")).to_be_visible()
    assert count(book, "shots") == before + 9
    with open_store(book, TOBIAS) as con:
        [[carry]] = con.sql(
            "SELECT max(carry_m) FROM shots WHERE day = DATE '2025-10-08' AND club_text = 'SW'"
        ).fetchall()
    assert carry == pytest.approx(7.9 * 0.9144)


def test_undo_takes_an_import_back_and_redo_brings_it_again(phone, address, book, exports):
    before = count(book, "shots")
    bring(phone, address, exports / "wilma/2025-10-01_launch.csv")
    phone.get_by_label("Tobias").check()
    phone.get_by_role("button", name="Take them in").click()
    expect(phone.get_by_role("link", name="See the carry curve")).to_be_visible()
    phone.get_by_role("link", name="Imports").last.click()
    row = phone.get_by_role("row").filter(has_text="2025-10-01_launch.csv")
    row.get_by_role("button", name="Undo").click()
    expect(phone.get_by_role("heading", name="Taken back")).to_be_visible()
    assert count(book, "shots") == before
    phone.get_by_role("button", name="Redo").click()
    expect(phone.get_by_role("heading", name="Taken back")).to_have_count(0)
    assert count(book, "shots") == before + 48


def test_twenty_marks_with_the_network_cut_arrive_once(browser, address, book):
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    before = count(book, "marks")
    page.goto(f"{address}/players/{TOBIAS}/marks")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    context.set_offline(True)
    page.reload()
    for ball in range(101, 121):
        page.get_by_label("Ball number").fill(str(ball))
        page.get_by_label("Landed from the green's edge").fill("2")
        page.get_by_role("button", name="Keep this mark").click()
    expect(page.locator("#sync")).to_have_text("Waiting to be sent: 20")
    assert count(book, "marks") == before
    context.set_offline(False)
    page.reload()
    expect(page.locator("#sync")).to_have_text("", timeout=30_000)
    assert count(book, "marks") == before + 20
    page.reload()
    expect(page.locator("#sync")).to_have_text("")
    assert count(book, "marks") == before + 20
    context.close()


def test_a_test_is_scored_on_the_phone(phone, address, book):
    phone.goto(f"{address}/players/{TOBIAS}/test")
    phone.get_by_text("Score this test now").click()
    for box in phone.get_by_label("Strokes, chip included").all():
        box.fill("2")
    phone.get_by_role("button", name="Save this test").click()
    expect(phone.get_by_text("The test is in the book.")).to_be_visible()
    expect(phone.get_by_text(re.compile("by luck|that luck explains")).first).to_be_visible()
    assert count(book, "scores") == 8 * 9 + 9


def test_a_test_scored_with_the_network_cut_arrives_once(browser, address, book):
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    before = count(book, "scores")
    page.goto(f"{address}/players/{TOBIAS}/test")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    context.set_offline(True)
    page.reload()
    page.get_by_text("Score this test now").click()
    for box in page.get_by_label("Strokes, chip included").all():
        box.fill("3")
    page.get_by_role("button", name="Save this test").click()
    expect(page.locator("#sync")).to_have_text("Waiting to be sent: 1")
    assert count(book, "scores") == before
    context.set_offline(False)
    page.reload()
    expect(page.locator("#sync")).to_have_text("", timeout=30_000)
    assert count(book, "scores") == before + 9
    page.reload()
    expect(page.locator("#sync")).to_have_text("")
    assert count(book, "scores") == before + 9
    context.close()


def test_every_kind_of_chart_file_is_saved(phone, address):
    phone.goto(f"{address}/players/{TOBIAS}/leave")
    for kind, start in (("SVG", b"<svg"), ("PNG", b"\x89PNG"), ("PDF", b"%PDF")):
        with phone.expect_download() as waiting:
            phone.get_by_role("link", name=kind).first.click()
        assert Path(waiting.value.path()).read_bytes().startswith(start)


def test_the_lesson_sheet_comes_as_a_pdf(phone, address):
    phone.goto(f"{address}/players/{TOBIAS}/sheet")
    with phone.expect_download() as waiting:
        phone.get_by_role("link", name="PDF · A4").click()
    path = waiting.value.path()
    assert Path(path).read_bytes().startswith(b"%PDF")


def test_two_coaches_cannot_see_each_other(browser, app, book):
    fill(book, ("Petra",), coach="Bo")
    state = ServiceState(book)
    keys = {
        coach: create_key(state, coach, ["read:profiles", "read:rows", "import"], coach=coach)[1]
        for coach in ("Bo", "Maren Ostrava")
    }
    state.close()
    with serving(app, timeout_graceful_shutdown=1) as address:
        for coach, own, other in (
            ("Bo", "Petra", f"/players/{TOBIAS}"),
            ("Maren Ostrava", "Tobias", "/players/v2mj58"),
        ):
            context = browser.new_context(viewport=PHONE, service_workers="block")
            page = context.new_page()
            page.goto(f"{address}/login?next=/players")
            page.get_by_label("Key").fill(keys[coach])
            page.get_by_role("button", name="Sign in").click()
            expect(page.get_by_role("heading", name=own)).to_be_visible()
            expect(page.get_by_role("heading", name="Petra")).to_have_count(int(coach == "Bo"))
            answer = page.goto(f"{address}{other}")
            assert answer is not None
            assert answer.status == 404
            assert page.goto(f"{address}/share").status == 403
            context.close()


def test_the_keyboard_alone_is_enough(phone, address):
    phone.goto(f"{address}/players/{TOBIAS}/today")
    phone.keyboard.press("Tab")
    expect(phone.locator(":focus")).to_have_text("Skip to the content")
    phone.keyboard.press("Enter")
    expect(phone.locator(":focus")).to_have_attribute("id", "content")
    for _ in range(30):
        phone.keyboard.press("Tab")
        if phone.locator(":focus").inner_text() == "Mishit":
            break
    phone.keyboard.press("Enter")
    expect(phone.get_by_text("marked as a mishit")).to_be_visible()
    for _ in range(40):
        phone.keyboard.press("Tab")
        if phone.locator(":focus").inner_text() == "Undo":
            break
    phone.keyboard.press("Enter")
    expect(phone.get_by_text("Taken back")).to_be_visible()
