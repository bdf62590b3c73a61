"""Bringing files in by page: look first, take, what was set aside, undo and redo, doubts."""

import os
import re
import time
from pathlib import Path

import pytest

from analytics.db import open_store
from api.page_uploads import KEEP_S, forget, looked_at, sweep
from demo_data.write import write_demo
from ingest.players import Player, save_player
from schemas.store_paths import uploads_dir
from tests.api.pages.test_player_pages import plain

TOBIAS = "q3fk82"


@pytest.fixture(scope="module")
def exports(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("exports")
    write_demo(folder)
    return folder


def look(page, *files: Path, player: str = "") -> str:
    """The address of the look at some files."""
    token = page.token("/imports")
    sent = [("files", (file.name, file.read_bytes(), "text/csv")) for file in files]
    answer = page.request("POST", "/imports", data={"token": token, "player": player}, files=sent)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def take(page, address: str, **fields: str) -> str:
    """Take a look in and wait for its jobs; the page that says what came of it."""
    token = page.token(address)
    answer = page.post(address.partition("?")[0] + "/take", {"token": token, **fields})
    assert answer.status_code == 303, answer.text
    for _ in range(200):
        text = page.get(answer.headers["location"]).text
        if "See the carry curve" in text:
            return text
        time.sleep(0.05)
    raise AssertionError(text)


def test_looking_writes_nothing_and_says_what_is_there(empty, exports, tmp_path):
    address = look(empty, exports / "petra/2025-10-08_launch.csv", exports / "petra/scores.csv")
    words = plain(empty.get(address).text)
    assert "2025-10-08_launch.csv launch device · 48 rows read, 0 set aside" in words
    assert "Carry → carry_m (yd)" in words
    assert "Nothing is in the book yet" in words
    assert not list((tmp_path / "empty").rglob("*.parquet"))


def test_the_first_two_files_give_a_curve_that_is_too_early(empty, exports):
    address = look(
        empty, exports / "petra/2025-10-08_launch.csv", exports / "petra/2025-10-08_tempo.csv"
    )
    text = take(empty, address, player="new", name="Nora", zone="Europe/Berlin", hand="right")
    card = re.search(r'href="(/players/\w+/card)"', text)[1]
    words = plain(empty.get(card).text)
    assert "too early" in words
    assert "34 balls on 1 day" in words or "balls on 1 days" in words


def test_taking_twice_changes_nothing_and_undo_and_redo_go_both_ways(page, book, exports):
    def count():
        with open_store(book, TOBIAS) as con:
            return con.sql("SELECT count(*) FROM shots").fetchall()[0][0]

    file = exports / "wilma/2025-10-01_launch.csv"
    before = count()
    assert "It is in the book" in take(page, look(page, file), player=TOBIAS)
    assert count() == before + 48
    text = take(page, look(page, file), player=TOBIAS)
    assert "in the book already" in text
    import_id = re.search(r'href="/imports/([0-9a-f]{32})"', text)[1]
    page.send(f"/imports/{import_id}/undo", "/imports")
    assert count() == before
    assert "Taken back" in page.get("/imports").text
    page.send(f"/imports/{import_id}/redo", "/imports")
    assert count() == before + 48


def test_a_file_of_no_known_kind_is_refused_with_a_mend(page, tmp_path):
    odd = tmp_path / "odd.csv"
    odd.write_text("a,b\n1,2\n")
    words = plain(page.get(look(page, odd)).text)
    assert "What to do:" in words
    assert "Take them in" not in words


def test_rows_that_cannot_be_are_shown_with_line_reason_and_mend(page, tmp_path):
    file = tmp_path / "some.csv"
    rows = "\n".join(f"{n},2025-10-08 10:0{n}:00,SW,18.{n},24" for n in range(1, 9))
    header = "Shot,Local time,Club,Club speed (mph),Carry (ft)"
    file.write_text(f"{header}\n{rows}\n9,2025-10-08 10:09:00,SW,18,-24\n")
    words = plain(page.get(look(page, file)).text)
    assert "Rows set aside: 1" in words
    assert "line 10" in words
    text = take(page, look(page, file), player=TOBIAS)
    import_id = re.search(r'href="/imports/([0-9a-f]{32})"', text)[1]
    assert "8 kept, 1 set aside" in plain(page.get(f"/imports/{import_id}").text)


def test_an_open_question_is_asked_and_answered_by_one_tap(page, book, tmp_path):
    file = tmp_path / "unit.csv"
    rows = "\n".join(f"{n},2025-10-08 10:0{n}:00,SW,8.{n},8.{n},30,7.{n}" for n in range(1, 10))
    header = "Shot,Local time,Club,Club speed (m/s),Ball speed (m/s),Launch angle (deg),Carry"
    file.write_text(f"{header}\n{rows}\n")
    take(page, look(page, file), player=TOBIAS)
    html = page.get("/doubts").text
    assert "What is meant by" in plain(html)
    action = re.search(r'action="(/doubts/[0-9a-f]{32}/answer)"', html)[1]
    question = re.search(r'name="question" value="([^"]+)"', html)[1]
    answer = page.send(action, "/doubts", question=question, said="[yd_i]")
    for _ in range(200):
        if "See the carry curve" in page.get(answer.headers["location"]).text:
            break
        time.sleep(0.05)
    assert "What is meant by" not in plain(page.get("/doubts").text)


def test_a_ball_of_the_wrong_student_is_moved_and_undone(page, book):
    save_player(book, Player("pother1", "Otto"))
    today = f"/players/{TOBIAS}/today"
    event = re.search(r"/move\?event=(\w+)", page.get(today).text)[1]
    page.send(
        f"/players/{TOBIAS}/move", f"/players/{TOBIAS}/move?event={event}", to="pother1",
        events=event,
    )  # fmt: skip
    with open_store(book) as con:
        counts = dict(
            con.sql("SELECT player_id, count(*) FROM shots GROUP BY player_id").fetchall()
        )
    assert counts["pother1"] == 1
    assert counts[TOBIAS] == 383
    page.send(f"/players/{TOBIAS}/undo-last", today)
    with open_store(book, TOBIAS) as con:
        assert con.sql("SELECT count(*) FROM shots").fetchall() == [(384,)]


def test_looks_are_swept_after_a_day_and_never_read_from_elsewhere(page, book, exports):
    address = look(page, exports / "petra/scores.csv")
    look_id = address.split("/")[3].partition("?")[0]
    assert looked_at(book, look_id)
    folder = uploads_dir(book) / look_id
    old = time.time() - KEEP_S - 60
    os.utime(folder, (old, old))
    sweep(book)
    assert not folder.exists()
    forget(book, "../v1")
    assert (book / "v1").is_dir()
    assert page.get("/imports/look/../v1").status_code in {404, 422}


def test_an_upload_without_a_file_is_refused(page):
    token = page.token("/imports")
    sent = [("files", ("", b"", "text/csv"))]
    answer = page.request("POST", "/imports", data={"token": token}, files=sent)
    assert answer.status_code == 422
