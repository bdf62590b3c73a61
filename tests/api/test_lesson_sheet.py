"""The lesson sheet: what stands on it, empty and full, always on one side."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from analytics.db import open_store
from analytics.lesson import lesson
from analytics.practice_plan import own_piece
from analytics.scored_rules import built_in_rules
from api.homework_entry import give
from api.lesson_sheet import LessonSheet, Rung, ScoredRow, Task, sheet_of
from api.lesson_sheet_print import sheet_pages, sheet_pdf
from api.page_view import View
from api.scoring import take_sitting
from ingest.players import Player, save_player
from tests.invented_lesson import ROBIN, write_book

DAY = date(2026, 5, 4)
ENGLISH = View("en", "ft", "mph")


def sheet_from(store: Path, player: Player, view: View = ENGLISH) -> LessonSheet:
    connection = open_store(store, player.player_id)
    return sheet_of(view, lesson(connection, player.player_id, built_in_rules()), DAY)


@pytest.fixture(scope="module")
def book(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("book")
    write_book(folder)
    for words in ("2 3 2 2 3 2 2 3 3", "2 3 2 2 3 2 2 3 4", "2 3 2 2 3 2 2 3 2"):
        take_sitting(folder, ROBIN, "nine_station_hole_out", words.split())
    give(folder, ROBIN, [own_piece("Clock putts", "Six putts from three feet.", 3, 6)], due=DAY)
    return folder


def test_the_sheet_tells_what_the_book_knows(book) -> None:
    sheet = sheet_from(book, ROBIN)
    assert sheet.name == "Robin"
    assert "Pradera" in sheet.conditions
    assert sheet.card[0].swing == "SW hip"
    assert sheet.card[0].counts == "24/4"
    assert sheet.leave is not None
    assert "by luck" in sheet.leave_words
    assert [total for _, total in sheet.tests[0].totals] == ["22", "23", "21"]
    assert any("differ for sure" in words for words in sheet.tests[0].words)
    assert sheet.homework[0].title == "Clock putts 3 × 6"
    assert sheet.homework[0].boxes == 3
    assert "tour professionals" in sheet.small_print
    assert any("doctor" in caution for caution in sheet.cautions)


def test_an_empty_book_gives_a_sheet_that_says_so(tmp_path) -> None:
    ana = Player("ana1", "Ana María Ejemplo")
    save_player(tmp_path, ana)
    sheet = sheet_from(tmp_path, ana)
    assert sheet.name == "Ana"
    assert (sheet.card, sheet.tests, sheet.homework) == ((), (), ())
    assert "No finish marked yet" in sheet.leave_words
    assert sheet_pages(ENGLISH, sheet) == 1


def test_the_sheet_reads_in_other_units_and_languages(book) -> None:
    german = sheet_from(book, ROBIN, View("de", "m", "km/h"))
    assert german.card[0].carry.endswith("m")
    assert "Putts" in german.small_print
    assert "durch Zufall" in german.leave_words


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("language", ["en", "de"])
def test_the_fullest_sheet_keeps_to_one_side(book, paper, language) -> None:
    view = View(language, "ft", "mph")
    sheet = sheet_from(book, ROBIN, view)
    long_words = "What was found, said in a sentence that is as long as any of them gets. " * 3
    row = ScoredRow("A test, target 21", (("30 Sept", "24"),) * 8, (long_words[:200],) * 3)
    full = replace(
        sheet,
        clear=long_words,
        open=long_words,
        card=(Rung("PW chest", "31.6 ft", "25.9 to 38.6 ft", "240/8", "too early: 8 of 10"),) * 8,
        tests=(row, row),
        bracket=sheet.leave,
        homework=(Task("Long, short, then between 4 × 6", (long_words[:200], "x" * 60), 4),) * 4,
    )
    assert sheet_pages(view, full, paper) == 1


def test_the_same_sheet_gives_the_same_bytes(book) -> None:
    sheet = sheet_from(book, ROBIN)
    first = sheet_pdf(ENGLISH, sheet)
    assert first.startswith(b"%PDF")
    assert first == sheet_pdf(ENGLISH, sheet)
