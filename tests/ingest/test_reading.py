"""Exports as a whole: rows in canonical columns, and an account of every other line."""

import textwrap

import pytest

from ingest.preview_json import as_preview
from ingest.read_export import read_export
from ingest.reading import Options


def preview(text, name="export.csv", **options):
    source = textwrap.dedent(text).lstrip("\n").encode()
    return as_preview(read_export(source, name=name, options=Options(**options)))


def test_a_launch_export_in_imperial_units():
    found = preview("""
        Shot,Time,Club,Ball Speed (mph),Launch Angle,Side (yd),Carry (yd),Note
        1,2026-03-14T10:23:05Z,SW,25.0,30.1,3.2 L,12.5,ok
        2,2026-03-14T10:24:05Z,56°,24.0,31.1,1.2 R,11.5,
        3,2026-03-14T10:25:05Z,sand wedge,24.5,29.1,0.0,-1,
        """)
    assert found["kind"] == "launch"
    first, second = (row["values"] for row in found["rows"])
    assert first["carry_m"] == pytest.approx(12.5 * 0.9144)
    assert first["ball_speed_mps"] == pytest.approx(25 * 0.44704)
    assert first["side_m"] == pytest.approx(-3.2 * 0.9144)
    assert (second["club"], second["loft_deg"], second["club_text"]) == ("W", 56.0, "56°")
    assert second["struck_at_utc"] == "2026-03-14T10:24:05Z"
    (aside,) = found["set_aside"]
    assert (aside["line"], aside["column"], aside["value"]) == (4, "Carry (yd)", "-1")
    assert aside["code"] == "below_minimum"


def test_a_tempo_export_whose_dates_read_either_way():
    text = """
        Swing,Date,Time,Backswing (ms),Downswing (ms),Tempo,Peak speed (mph)
        1,03/04/2026,2:05:11 PM,750,250,3.0:1,25
        2,03/04/2026,2:06:11 PM,760,250,3.04:1,26
        """
    found = preview(text, zone="UTC")
    assert [q["kind"] for q in found["questions"]] == ["date_order"]
    assert found["rows"][0]["values"]["swung_at_utc"] is None
    assert found["rows"][0]["values"]["backswing_s"] == pytest.approx(0.75)
    answered = preview(text, zone="UTC", answers={"date_order:swung_at_utc": "dmy"})
    assert answered["rows"][0]["values"]["swung_at_utc"] == "2026-04-03T14:05:11Z"
    assert not answered["questions"]


def test_a_day_that_changes_within_the_file_holds_for_the_rows_after_it():
    """Two sessions in one export: the first one's day must not be given to the second's shots."""
    session = (
        "Date: 2026-05-{}\nShot,Time,Club,Ball Speed (m/s),Carry (m)\n"
        "{},10:01:00,SW,11.1,9.2\n{},10:02:00,SW,11.2,9.4\n"
    )
    text = session.format(14, 1, 2) + "\n" + session.format(15, 3, 4)
    reading = read_export(text.encode(), name="two.csv", options=Options(zone="Europe/Rome"))
    assert reading.questions == ()
    assert reading.table["struck_at_utc"].dt.day().to_list() == [14, 14, 15, 15]


def test_seconds_that_go_up_and_down_are_no_time_since_a_start():
    text = "No,Swing time (s),Backswing (s),Downswing (s)\n"
    text += "1,1.00,0.75,0.25\n2,1.03,0.72,0.31\n3,0.98,0.70,0.28\n"
    reading = read_export(text.encode(), name="any.csv")
    assert reading.questions == ()
    assert reading.unknown_columns == ("Swing time (s)",)
