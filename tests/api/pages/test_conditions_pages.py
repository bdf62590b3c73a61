"""The day's green, two tapes, paces, uneven lies and own tests on the pages."""

import re
from dataclasses import replace

import pytest

from analytics.db import open_store
from analytics.errors import BadQuestion
from analytics.scored_test import Award
from api.own_test_form import fields_of, rules_of
from api.page_view import View
from tests.api.pages.test_entry_pages import MARKS, TEST, TOBIAS, count

GREEN = f"/players/{TOBIAS}/conditions"
PLAN = f"/players/{TOBIAS}/plan?edge=18&hole=41&speed=9.5"


def noted(book, day):
    with open_store(book, TOBIAS) as con:
        asked = {"day": day}
        rows = con.sql("SELECT * FROM sessions WHERE CAST(day AS VARCHAR) = $day", params=asked)
        return rows.to_arrow_table().to_pylist()[0]


def test_a_day_is_noted_and_what_is_left_empty_stays(page, book):
    page.send(
        GREEN, day="2026-05-01", place="Marram Hollow", green_speed_ft="9,5", wetness="wet",
        edge="18", hole="41", window_near="20", window_far="6.5 m",
    )  # fmt: skip
    page.send(
        GREEN, day="2026-05-01", wetness="damp", roll_up="9", roll_down="14", green_speed_ft="9"
    )
    row = noted(book, "2026-05-01")
    # USGA Green Section Record 28(6), 1990: 14 and 9 ft are 10 ft 11 in on the flat.
    assert row["green_speed_ft"] == pytest.approx(10.957, abs=5e-4)
    assert (row["place"], row["wetness"], row["window_far_m"]) == ("Marram Hollow", "damp", 6.5)
    assert row["edge_m"] == pytest.approx(18 * 0.3048)
    text = page.get(f"{GREEN}?day=2026-05-01").text
    assert 'value="Marram Hollow"' in text


def test_what_was_noted_first_can_be_noted_again(page, book):
    for far in ("8 m", "9 m", "8 m", "8 m"):
        page.send(GREEN, day="2026-05-03", window_near="6 m", window_far=far)
        assert noted(book, "2026-05-03")["window_far_m"] == float(far[0])


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"green_speed_ft": "0"}, "between 3 and 16"),
        ({"green_speed_ft": "fast"}, "no number"),
        ({"green_speed_ft": "nan"}, "no number"),
        ({"slope_deg": "inf"}, "no number"),
        ({"window_near": "23", "window_far": "20"}, "at or beyond its far end"),
        ({"window_near": "20", "window_far": "20"}, "at or beyond its far end"),
        ({"edge": "30", "hole": "20"}, "edge lies beyond the hole"),
        ({"roll_up": "9"}, "One roll"),
        ({"roll_up": "0", "roll_down": "9"}, "above zero"),
        ({"hole": "about ten"}, "no length"),
        ({}, "Nothing is said"),
    ],
)
def test_a_day_that_cannot_be_is_refused_in_words(page, book, fields, words):
    answer = page.send(GREEN, day="2026-05-02", **fields)
    assert answer.status_code == 422
    assert words in answer.text.replace("&#39;", "'")
    with open_store(book, TOBIAS) as con:
        kept = con.sql("SELECT count(*) FROM sessions WHERE day = DATE '2026-05-02'").fetchall()
    assert kept == [(0,)]


def test_a_far_end_that_contradicts_what_was_noted_before_is_refused(page):
    page.send(GREEN, day="2026-05-03", window_near="20", window_far="23")
    assert page.send(GREEN, day="2026-05-03", window_far="19").status_code == 422


def test_two_tapes_and_calibrated_paces_place_a_ball(page, book):
    page.send(
        MARKS, ball_number="901", tape_to_hole="5", tape_to_peg="5", peg_below="6 ft",
        peg_side="right", entry_id="tapes",
    )  # fmt: skip
    page.send(
        MARKS, ball_number="902", leave="4 Schritte", hour="6", pace_walks="20 m: 25 25 25",
        entry_id="paces",
    )  # fmt: skip
    page.send(MARKS, ball_number="903", holed="yes", entry_id="holed")
    with open_store(book, TOBIAS) as con:
        rows = con.sql(
            "SELECT leave_m, leave_bearing_deg, method FROM marks WHERE ball_number >= 901"
            " ORDER BY ball_number"
        ).fetchall()
    # 5 ft from both ends of a 6 ft base: 3 ft along it, 4 ft off it, 53.13° from it.
    assert rows[0] == (pytest.approx(5 * 0.3048), pytest.approx(53.130102, abs=1e-6), "two tapes")
    assert rows[1] == (pytest.approx(4 * 0.8), 0.0, "paces")
    assert rows[2] == (0.0, None, "holed")


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"tape_to_hole": "2", "tape_to_peg": "1"}, "miss each other"),
        ({"tape_to_hole": "2"}, "One tape"),
        ({"tape_to_peg": "2"}, "One tape"),
        ({"holed": "yes", "tape_to_hole": "2", "tape_to_peg": "5"}, "two ways"),
        ({"leave": "4 paces", "hour": "6", "pace_walks": "20 m: 25"}, "do not give a pace"),
    ],
)
def test_tapes_and_paces_that_cannot_be_are_refused(page, book, fields, words):
    before = count(book, "marks")
    answer = page.send(MARKS, ball_number="904", **fields)
    assert answer.status_code == 422
    assert words in answer.text
    assert count(book, "marks") == before


def test_an_uneven_lie_and_wind_are_stated_with_their_doubt(page):
    assert "carry not moved" not in page.get(PLAN).text
    told = page.get(f"{PLAN}&lie=5&wind=-6").text
    assert "lie +5°: carry not moved, doubt" in told
    assert "carry, doubt as large" in told
    page.send("/settings", language="de", length="ft", speed="mph", zone="")
    assert "Carry nicht verschoben, Zweifel" in page.get(f"{PLAN}&lie=5&wind=-6").text
    assert "ist keine Zahl" in page.get(f"{PLAN}&lie=steep").text
    assert "jenseits dessen, was sich sagen lässt" in page.get(f"{PLAN}&lie=40").text


OWN = {
    "title": "Pitch Ladder", "measure": "points", "target": "9", "order": "drawn", "draw": "3",
    "stations": "2 x fringe, 24 ft, SW\nrough, 8 m\nbunker", "points_within": "2",
    "limit_within": "6", "points_holed": "1", "what_0": "called before it landed",
    "points_what_0": "1",
}  # fmt: skip


def test_an_own_test_is_made_scored_and_changed_on_the_pages(page, book):
    assert page.send("/tests", **OWN).status_code == 303
    text = page.get("/tests?made=pitch_ladder@1").text
    assert "Pitch Ladder is in the book, version 1" in text
    sheet = page.get(f"{TEST}?test=pitch_ladder@1").text
    drawn = [n for n in range(1, 5) if f'name="n_{n}"' in sheet]
    assert len(drawn) == 3
    fields = {f"n_{n}": "played" for n in drawn} | {f"leave_{n}": "5" for n in drawn}
    fields |= {f"judge_{drawn[0]}_0": "yes"}
    assert page.send(TEST, test="pitch_ladder@1", entry_id="own", **fields).status_code == 303
    with open_store(book, TOBIAS) as con:
        total = con.sql("SELECT sum(points) FROM scores WHERE attempt_id = 'own'").fetchall()
    assert total == [(3 * 2 + 1,)]
    form = page.get("/tests/pitch_ladder/change").text
    assert "Next version of Pitch Ladder" in form
    page.send(
        "/tests", page="/tests/pitch_ladder/change", name="pitch_ladder", **OWN | {"target": "8"}
    )
    assert "version 2" in page.get("/tests").text
    assert 'value="pitch_ladder@1"' in page.get(TEST).text  # played, so still offered


def test_a_test_in_the_form_reads_back_as_itself():
    view = View(length="m")
    rules = rules_of(OWN, view)
    again = rules_of(fields_of(rules, view), view)
    assert again.stations[2].distance_m == 8
    assert fields_of(again, view) == fields_of(rules, view)


def test_a_german_form_says_lies_in_german_and_keeps_them_in_english():
    rules, german = rules_of(OWN, View()), View(language="de")
    fields = fields_of(rules, german)
    assert fields["stations"].startswith("Vorgrün, 24 ft, SW")
    assert [one.lie for one in rules_of(fields, german).stations] == [
        one.lie for one in rules.stations
    ]
    assert rules_of({**OWN, "stations": "5 x Sandkuhle"}, german).stations[0].lie == "Sandkuhle"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"target": "17"}, "cannot be reached: the most is 12"),
        ({"stations": ""}, "no station"),
        ({"stations": ", 24 ft"}, "has no lie"),
        ({"stations": "fringe, far"}, "no length"),
        ({"title": "9"}, "No name can be made"),
        ({"title": "Gate Twenty"}, "already"),
        ({"points_within": "", "points_holed": "", "what_0": ""}, "needs awards"),
        ({"points_within": "two"}, "no number"),
    ],
)
def test_a_refused_test_keeps_what_was_typed(page, change, words):
    answer = page.send("/tests", **OWN | change)
    assert answer.status_code == 422
    assert words in answer.text.replace("&#39;", "'")
    assert "called before it landed" in answer.text or "what_0" in change


def test_progress_shows_leaves_by_day_with_their_green_and_the_homework(page):
    page.post(f"/players/{TOBIAS}/homework", {"token": page.token(f"/players/{TOBIAS}/plan")})
    text = page.get(f"/players/{TOBIAS}/progress").text
    assert "Finishes below the hole, day by day" in text
    assert re.search(r"Homework: 0 of [23] done, 0 balls\.", text)
    assert ">wet</text>" in text
    assert ">9.5</text>" in text
    saved = page.get(f"/players/{TOBIAS}/chart/progress-leave.svg")
    assert saved.status_code == 200


@pytest.mark.parametrize("wind", ["nan", "inf", "1e999"])
def test_a_plan_takes_finite_numbers_only(page, wind):
    assert "no number" in page.get(f"{PLAN}&wind={wind}").text.replace("&#39;", "'")


@pytest.mark.parametrize("change", [{"draw": "nan"}, {"draw": "inf"}, {"points_holed": "nan"}])
def test_an_own_test_has_finite_numbers(page, change):
    answer = page.send("/tests", **OWN | change)
    assert answer.status_code == 422
    assert "no number" in answer.text


@pytest.mark.parametrize(
    "awards",
    [
        (Award("within", 2, 1.0), Award("within", 1, 2.0)),
        tuple(Award("judged", 1, what=f"thing {n}") for n in range(4)),
    ],
)
def test_a_test_that_the_form_would_lose_something_of_is_not_changed_by_it(awards):
    rules = rules_of(OWN, View())
    with pytest.raises(BadQuestion, match="more than this form"):
        fields_of(replace(rules, awards=awards), View())


def test_a_line_that_stands_for_very_many_stations_is_refused(page):
    answer = page.send("/tests", **OWN | {"stations": "999 x fringe\n" * 5000})
    assert answer.status_code == 422
    assert "more than 200 stations" in answer.text
