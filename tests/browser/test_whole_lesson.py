"""A whole invented lesson by pages alone: from an empty store to the printed sheet.

Everything is clicked and typed on a phone: the player, the day's green, the two exports, the
questions they leave open, marks (one by two tapes, one in paces, one holed), a scored test, a test
of the coach's own, a plan, homework given and done, the sheet as a page and as a PDF.
"""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from analytics.db import open_store
from api.app import make_app
from api.settings import Settings
from demo_data.write import write_demo
from tests.api.live_server import serving
from tests.browser.chromium import PHONE, Watch

pytestmark = pytest.mark.browser
expect.set_options(timeout=40_000)
DAYS = ("2025-09-24", "2025-10-01", "2025-10-08")


def fill(page: Page, **fields: str) -> None:
    for name, value in fields.items():
        page.locator(f"#{name}").fill(value)


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


class Coach:
    """What a coach does on the pages, one method per visit."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address, self.me = page, address, ""

    def add_player(self, name: str) -> None:
        self.page.goto(f"{self.address}/players")
        fill(self.page, name=name, zone="Europe/Berlin")
        press(self.page, "Add")
        self.page.wait_for_url(re.compile(r"/players/[a-z0-9]+$"))
        self.me = self.page.url.removeprefix(self.address)

    def note_green(self, day: str) -> None:
        self.page.goto(f"{self.address}{self.me}/conditions?day={day}")
        fill(
            self.page, place="Marram Hollow", green_speed_ft="9.5", slope_deg="1.4",
            fall_line_deg="160", edge="18", hole="41", window_near="21.5", window_far="26.5",
        )  # fmt: skip
        self.page.locator("#wetness").select_option("dry")
        press(self.page, "Note this day")
        expect(self.page.get_by_text("The day's green is noted.")).to_be_visible()

    def bring(self, files: list[Path], name: str) -> None:
        self.page.goto(f"{self.address}/imports")
        self.page.set_input_files("input[type=file]", [str(file) for file in files])
        press(self.page, "Look at the files")
        self.page.get_by_label(name, exact=True).check()
        self.page.get_by_label("Local times in the files").select_option("Europe/Berlin")
        press(self.page, "Take them in")
        expect(self.page.get_by_role("link", name="See the carry curve")).to_be_visible()

    def mark(self, ball: str, **fields: str) -> None:
        self.page.goto(f"{self.address}{self.me}/marks")
        for closed in self.page.locator("#mark-form details summary").all():
            closed.click()
        fill(self.page, ball_number=ball, **fields)
        press(self.page, "Keep this mark")
        expect(self.page.locator("#sync")).to_have_text("")

    def score(self, test: str, boxes: str, values: list[str]) -> None:
        self.page.goto(f"{self.address}{self.me}/test?test={test}")
        sheet = self.page.locator("details").filter(has_text="Score this test now").first
        if sheet.get_attribute("open") is None:
            sheet.locator("summary").first.click()
        for box, value in zip(self.page.locator(boxes).all(), values, strict=True):
            box.fill(value)
        press(self.page, "Save this test")
        expect(self.page.get_by_text("The test is in the book.")).to_be_visible()


def rows(store: Path, player: str, query: str) -> list[tuple]:
    with open_store(store, player) as con:
        return con.sql(query).fetchall()


@pytest.fixture(scope="module")
def exports(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("exports")
    write_demo(folder)
    return folder / "tobias"


def test_a_lesson_from_empty_store_to_printed_sheet(browser, exports, tmp_path) -> None:
    store = tmp_path / "store"
    with serving(make_app(Settings(store)), timeout_graceful_shutdown=1) as address:
        context = browser.new_context(viewport=PHONE, service_workers="block")
        page = context.new_page()
        watch = Watch(address).over(page)
        coach = Coach(page, address)
        lesson(coach, store, exports)
        printed(coach, tmp_path)
        assert not watch.foreign
        assert not [said for said in watch.errors if "422" not in said]  # one refusal is meant
        context.close()


def lesson(coach: Coach, store: Path, exports: Path) -> None:
    """Everything up to the sheet."""
    page = coach.page
    coach.add_player("Robin")
    player = coach.me.rpartition("/")[2]
    for day in DAYS:
        coach.note_green(day)
        coach.bring(
            [exports / f"{day}_{kind}.csv" for kind in ("launch", "tempo", "marks")], "Robin"
        )
    coach.mark("901", leave="3'4", hour="5")
    coach.mark("902", tape_to_hole="5", tape_to_peg="5")
    coach.mark("903", leave="3 paces", hour="7", pace_walks="20 m: 25 26 25")
    page.locator("input[name=holed]").check()
    fill(page, ball_number="904")
    press(page, "Keep this mark")
    expect(page.locator("#sync")).to_have_text("")
    said = "SELECT method FROM marks WHERE ball_number > 900 ORDER BY ball_number"
    assert rows(store, player, said) == [("tape",), ("two tapes",), ("paces",), ("holed",)]

    for last in "342":
        coach.score("nine_station_hole_out@1", "input[name^=n_]", [*"23322323", last])
    own_test(coach)
    total = "SELECT test, sum(strokes) FROM scores WHERE strokes > 0 GROUP BY test, attempt_id"
    assert sorted(rows(store, player, total)) == [
        ("nine_station_hole_out@1", n) for n in (22, 23, 24)
    ]

    page.goto(f"{coach.address}{coach.me}/plan")
    expect(page.locator("#edge")).to_have_value(re.compile("18"))
    fill(page, lie="4", wind="-5")
    press(page, "Plan this chip")
    expect(page.locator("figure.wide")).to_be_visible()
    expect(page.get_by_text("Stated adjustments, never fitted")).to_be_visible()
    press(page, "Give this homework")
    page.locator("#balls-1").fill("30")
    page.get_by_role("button", name="Done", exact=True).first.click()
    expect(page.locator("p strong").filter(has_text="Done").first).to_be_visible()
    done = "SELECT outcome, balls_done FROM homework WHERE entry = 'report'"
    assert rows(store, player, done) == [("done", 30)]


def own_test(coach: Coach) -> None:
    """A test of the coach's own, refused once, then kept, scored and changed."""
    page = coach.page
    page.goto(f"{coach.address}/tests")
    page.get_by_text("Make a test of your own").click()
    fill(page, title="Pitch Ladder", target="9", stations="2 x fringe, 24 ft, SW\nrough, 30 ft")
    page.locator("#measure").select_option("hits")
    fill(page, hit_within="6 ft")
    press(page, "Keep this test")
    expect(page.get_by_role("alert")).to_contain_text("the most is 3")
    expect(page.locator("#title")).to_have_value("Pitch Ladder")
    fill(page, target="2")
    press(page, "Keep this test")
    expect(page.get_by_text("Pitch Ladder is in the book, version 1")).to_be_visible()
    coach.score("pitch_ladder@1", "input[name^=n_]", [])
    page.goto(f"{coach.address}/tests/pitch_ladder/change")
    fill(page, target="3")
    press(page, "Keep as the next version")
    expect(page.get_by_text("Pitch Ladder is in the book, version 2")).to_be_visible()


def printed(coach: Coach, folder: Path) -> None:
    """The sheet as a page, and on paper."""
    page = coach.page
    page.goto(f"{coach.address}{coach.me}/sheet")
    for words in ("Robin", "Marram Hollow", "SW hip", "Nine-Station Hole-Out", "Pitch Ladder"):
        expect(page.locator("article.sheet")).to_contain_text(words)
    for name in ("A4", "Letter"):
        with page.expect_download() as waiting:
            page.get_by_role("link", name=f"PDF · {name}").click()
        path = folder / f"{name}.pdf"
        waiting.value.save_as(path)
        assert path.read_bytes().startswith(b"%PDF")


def test_an_entry_the_book_refuses_comes_back_to_be_corrected(browser, tmp_path) -> None:
    store = tmp_path / "store"
    with serving(make_app(Settings(store)), timeout_graceful_shutdown=1) as address:
        context = browser.new_context(viewport=PHONE, service_workers="block")
        page = context.new_page()
        coach = Coach(page, address)
        coach.add_player("Robin")
        page.goto(f"{address}{coach.me}/marks")
        fill(page, ball_number="7", leave="4 ft", hour="13")
        press(page, "Keep this mark")
        expect(page.get_by_role("alert")).to_contain_text("not on the clock face")
        expect(page.locator("#sync")).to_have_text("")
        press(page, "Correct it")
        expect(page.locator("#ball_number")).to_have_value("7")
        fill(page, hour="5")
        press(page, "Keep this mark")
        expect(page.get_by_role("alert")).to_have_count(0)
        expect(page.locator("#sync")).to_have_text("")
        player = coach.me.rpartition("/")[2]
        kept = "SELECT ball_number, round(leave_bearing_deg) FROM marks"
        assert rows(store, player, kept) == [(7, 330.0)]
        context.close()
