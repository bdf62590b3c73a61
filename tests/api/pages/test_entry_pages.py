"""Marks and tests entered on a page: right units, kept once, refused in words."""

import polars as pl
import pytest

from analytics.db import open_store
from schemas.store_paths import root

TOBIAS = "q3fk82"
MARKS = f"/players/{TOBIAS}/marks"
TEST = f"/players/{TOBIAS}/test"


def count(book, table):
    with open_store(book, TOBIAS) as con:
        return con.sql(f"SELECT count(*) FROM {table}").fetchall()[0][0]


def test_a_mark_is_kept_in_metres_with_its_side(page, book):
    page.send(
        MARKS, ball_number="49", land="3'4", land_sign="plus", side="1", side_sign="minus",
        leave="4 ft", hour="6", entry_id="one",
    )  # fmt: skip
    with open_store(book, TOBIAS) as con:
        row = con.sql(
            "SELECT land_past_edge_m, land_side_m, leave_m, leave_bearing_deg FROM marks"
            " WHERE ball_number = 49"
        ).fetchall()[0]
    assert row == pytest.approx((1.016, -0.3048, 1.2192, 0.0), abs=1e-6)


def test_the_same_entry_sent_again_is_one_mark(page, book):
    before = count(book, "marks")
    fields = {"ball_number": "50", "land": "2", "entry_id": "same", "entered_at": ""}
    token = page.token(MARKS)
    for _ in range(3):
        answer = page.post(MARKS, {"token": token, **fields}, headers={"X-Entry": "1"})
        assert answer.status_code == 201
    assert count(book, "marks") == before + 1


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"ball_number": "x"}, "no ball number"),
        ({"ball_number": "3"}, "neither where the ball landed"),
        ({"ball_number": "3", "leave": "4"}, "no direction"),
        ({"ball_number": "3", "leave": "4", "hour": "13"}, "not on the clock face"),
        ({"ball_number": "3", "land": "far"}, "far"),
        ({"ball_number": "3", "land": "900"}, "must lie between"),
    ],
)
def test_a_mark_that_cannot_be_is_refused_in_words(page, book, fields, words):
    before = count(book, "marks")
    answer = page.send(MARKS, **fields)
    assert answer.status_code == 422
    assert words in answer.text.replace("&#39;", "'")
    assert count(book, "marks") == before


def test_a_test_is_scored_once_and_told_with_its_real_change_line(page, book):
    strokes = {f"n_{number}": "2" for number in range(1, 10)}
    token = page.token(TEST)
    fields = {"token": token, "test": "nine_station_hole_out@1", "entry_id": "sitting"} | strokes
    for _ in range(2):
        assert page.post(TEST, fields).status_code == 303
    with open_store(book, TOBIAS) as con:
        total = con.sql("SELECT sum(strokes) FROM scores WHERE attempt_id = 'sitting'").fetchall()[
            0
        ]
    assert total == (18,)
    text = page.get(TEST).text
    assert "happens by luck" in text or "that luck explains" in text


def test_an_unfinished_test_is_refused(page, book):
    before = count(book, "scores")
    answer = page.send(TEST, test="nine_station_hole_out@1", n_1="2")
    assert answer.status_code == 422
    assert "Stations 2, 3" in answer.text
    assert count(book, "scores") == before


def test_nothing_is_written_by_looking(page, book):
    files = sorted(root(book).rglob("*.parquet"))
    before = [(path, pl.read_parquet_schema(path), path.stat().st_mtime_ns) for path in files]
    for tab in ("", "/today", "/card", "/bracket", "/progress", "/leave"):
        page.get(f"/players/{TOBIAS}{tab}")
    after = sorted(root(book).rglob("*.parquet"))
    assert [path for path, _, _ in before] == after
    assert all(path.stat().st_mtime_ns == then for path, _, then in before)


def test_a_mark_is_listed_as_it_was_entered(page):
    page.send(
        MARKS, ball_number="49", land="3", land_sign="minus", side="1", side_sign="minus",
        leave="4 ft", hour="4.5", entry_id="listed",
    )  # fmt: skip
    row = page.get(MARKS).text.split("<td>49</td>")[1].split("</tr>")[0]
    for said in ("3.0\xa0ft short", "1.0\xa0ft left", "<td>4.5</td>"):
        assert said in row
