"""Headings between the rows: which name a club or a day, and which only seem to."""

from ingest.options import Options
from ingest.preview_json import as_preview
from ingest.read_export import read_export

HEAD = "Shot,Time,Ball speed (m/s),Launch angle (deg),Carry (m)\n"
FIRST = "1,10:00:00,12.1,30.2,11.3\n"
SECOND = "2,10:01:00,12.2,30.3,11.4\n"


def preview(text):
    return as_preview(read_export(text.encode(), name="any.csv", options=Options(zone="UTC")))


def values(found, column):
    return [row["values"].get(column) for row in found["rows"]]


def test_a_word_for_a_club_or_a_surface_is_taken_for_neither():
    found = preview(HEAD + "PW,,,,\n" + FIRST + "Sand,,,,\n" + SECOND)
    assert values(found, "club") == ["PW", "PW"]
    assert values(preview(HEAD + FIRST + "Sand,,,,\n" + SECOND), "club") == [None, None]


def test_a_surface_holds_for_the_rows_after_its_heading():
    found = preview(HEAD + FIRST + "Surface: mat,,,,\n" + SECOND)
    assert values(found, "surface") == [None, "mat"]
    found = preview("Surface: grass\n" + HEAD + FIRST + "Surface: mat,,,,\n" + SECOND)
    assert values(found, "surface") == ["grass", "mat"]


def test_a_day_with_a_word_or_two_holds_for_the_rows_after_it():
    found = preview(HEAD + "Session 1 2026-05-01,,,,\n" + FIRST + "2026-05-02,,,,\n" + SECOND)
    assert values(found, "struck_at_utc") == ["2026-05-01T10:00:00Z", "2026-05-02T10:01:00Z"]


def test_a_sentence_that_tells_a_day_is_no_heading_of_it():
    found = preview(HEAD + FIRST + "Another ball since 2026-05-02,,,,\n" + SECOND)
    assert values(found, "struck_at_utc") == [None, None]
    assert [question["kind"] for question in found["questions"]] == ["day"]


def test_a_title_whose_number_stands_before_its_day():
    found = preview("Session 1 2026-05-01\n" + HEAD + FIRST + SECOND)
    assert values(found, "struck_at_utc") == ["2026-05-01T10:00:00Z", "2026-05-01T10:01:00Z"]


def test_a_unit_said_between_the_rows_is_asked_about():
    head = "Shot,Ball speed (m/s),Launch angle (deg),Carry,Apex (m)\n"
    rows = ("1,12.1,30.2,11.3,2.1\n", "2,12.2,30.2,11.4,2.2\n")
    found = preview(head + rows[0] + "Distance unit: yd,,,,\n" + rows[1])
    assert [question["id"] for question in found["questions"]] == ["unit:carry_m"]
    found = preview("Distance unit: yd\n" + head + "".join(rows))
    assert found["questions"] == []
    assert values(found, "carry_m")[0] == 11.3 * 0.9144
