"""Marks as people say them, made into rows."""

from datetime import UTC, datetime

import pytest

from analytics.errors import BadQuestion
from api.entries import pace_from_walks
from api.mark_entry import MarkSaid, mark_row, signed_length
from schemas.tables import columns

AT = datetime(2026, 5, 4, 10, tzinfo=UTC)


def row(**said):
    return mark_row(MarkSaid("e1", AT, ball_number=7, **said))


def test_clock_bearing_and_line_of_play_name_one_place() -> None:
    by_clock = row(leave="1.00 m", clock=9)
    by_bearing = row(leave="100 cm", bearing_deg=90)
    by_line = row(past_hole="0.00 m", right_of_hole="1.00 m left", fall_line_deg=180)
    for one in (by_clock, by_bearing, by_line):
        assert one["leave_m"] == pytest.approx(1.0)
        assert one["leave_bearing_deg"] == pytest.approx(90)
    assert by_clock["leave_error_m"] > by_line["leave_error_m"]


def test_two_tapes_place_a_ball_beside_the_fall_line() -> None:
    right = row(tape_to_hole="5 ft", tape_to_peg="5 ft", peg_below="6 ft", peg_side="right")
    left = row(tape_to_hole="5 ft", tape_to_peg="5 ft", peg_below="6 ft", peg_side="left")
    assert right["leave_bearing_deg"] == pytest.approx(53.13, abs=0.01)
    assert left["leave_bearing_deg"] == pytest.approx(360 - 53.13, abs=0.01)
    assert right["method"] == "two tapes"


def test_landing_past_or_short_of_the_edge() -> None:
    one = row(landed_past_edge="2 ft", landed_right="1 ft left")
    assert one["land_past_edge_m"] == pytest.approx(0.6096)
    assert one["land_side_m"] == pytest.approx(-0.3048)
    assert row(landed_past_edge="2 ft short")["land_past_edge_m"] == pytest.approx(-0.6096)
    assert row(landed_past_edge="2 ft")["land_side_m"] is None


@pytest.mark.parametrize("said", [{"holed": True}, {"leave": "0 ft"}])
def test_a_holed_ball_needs_no_direction(said) -> None:
    one = row(**said)
    assert (one["leave_m"], one.get("leave_bearing_deg")) == (0, None)


def test_every_column_exists_and_errors_are_never_missing() -> None:
    for said in ({"leave": "1 m", "clock": 5}, {"landed_past_edge": "1 m"}, {"holed": True}):
        one = row(**said)
        assert set(one) - {"entry_id"} <= set(columns("marks"))
        assert one.get("leave_error_m", one.get("land_error_m")) is not None


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({}, "neither"),
        ({"holed": True, "leave": "1 m"}, "two ways"),
        ({"leave": "1 m", "clock": 5, "bearing_deg": 3}, "two ways"),
        ({"leave": "1 m", "clock": 14}, "clock face"),
        ({"leave": "1 m", "bearing_deg": 400}, "cannot be"),
        ({"leave": "a lot"}, "no length"),
        ({"past_hole": "1 m"}, "fall line is not known"),
        ({"tape_to_hole": "1 m"}, "One tape places no ball"),
        ({"tape_to_hole": "1 m", "tape_to_peg": "9 m", "peg_side": "left"}, "miss each other"),
        ({"landed_right": "1 m"}, "side only"),
    ],
)
def test_marks_that_cannot_be_are_refused_with_a_mend(said, why) -> None:
    with pytest.raises(BadQuestion, match=why) as caught:
        row(**said)
    assert caught.value.mend


def test_a_time_without_zone_and_a_negative_ball_are_refused() -> None:
    with pytest.raises(BadQuestion, match="no zone"):
        mark_row(MarkSaid("e", AT.replace(tzinfo=None), holed=True))
    with pytest.raises(BadQuestion, match="Ball -1"):
        mark_row(MarkSaid("e", AT, ball_number=-1, holed=True))


@pytest.mark.parametrize(
    ("text", "metres"),
    [("-2 ft", -0.6096), ("2 ft short", -0.6096), ("3 paces left", -2.25), ("1 m right", 1.0)],
)
def test_signs_and_words_of_direction(text, metres) -> None:
    assert signed_length(text).metres == pytest.approx(metres)


def test_paces_of_the_person_who_measures() -> None:
    pace = pace_from_walks("20 m: 25 26 25")
    said = mark_row(MarkSaid("e", AT, leave="4 paces", clock=6), pace)
    assert said["leave_m"] == pytest.approx(4 * pace.mean_m)
    assert said["method"] == "paces"
    with pytest.raises(BadQuestion, match="no set of walks"):
        pace_from_walks("25 26 25")
