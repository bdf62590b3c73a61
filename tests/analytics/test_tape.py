"""Lengths as said at the green, and places from two tapes."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from analytics.errors import BadQuestion
from analytics.tape import Length, Pace, calibrate_pace, read_length
from analytics.tape_position import Point, where_tapes_meet


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("3'4\"", 1.016),
        ("3'4", 1.016),
        ("3 ft 4 in", 1.016),
        ("3ft 4", 1.016),
        ("3 feet 4 inches", 1.016),
        ("40 in", 1.016),
        ('40"', 1.016),
        ("1.02 m", 1.02),
        ("1,02 m", 1.02),
        ("102 cm", 1.02),
        ("6 ft", 1.8288),
        ("6'", 1.8288),
        ("2 yds", 1.8288),
        ("4 paces", 3.0),
        ("0 ft", 0.0),
    ],
)
def test_lengths_as_people_say_them(text, metres) -> None:
    assert read_length(text).metres == pytest.approx(metres)


def test_three_ways_to_say_one_length_agree_within_their_errors() -> None:
    said = [read_length(text) for text in ("3'4", "3 ft 4 in", "1.02 m")]
    for one in said:
        assert abs(one.metres - said[0].metres) < 2 * one.error_m


@given(st.integers(0, 99), st.floats(0, 11.94).map(lambda x: round(x, 1)))
def test_feet_and_inches_come_back(feet, inches) -> None:
    assert read_length(f"{feet} ft {inches} in").metres == pytest.approx(
        (feet * 12 + inches) * 0.0254
    )


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "no length"),
        ("far", "no length"),
        ("-3 ft", "no length"),
        ("3 ft 14 in", "not feet and inches"),
        ("3.5 ft 4 in", "not feet and inches"),
        ("1,234 m", "two ways"),
        ("4", "no unit"),
        ("0 paces", "no length"),
    ],
)
def test_what_is_no_length_is_refused_with_a_mend(text, why) -> None:
    with pytest.raises(BadQuestion, match=why) as caught:
        read_length(text)
    assert caught.value.mend


def test_a_bare_number_takes_the_unit_said_beside_it() -> None:
    assert read_length("4", unit="ft").metres == pytest.approx(1.2192)
    with pytest.raises(BadQuestion, match="no unit of length"):
        read_length("4", unit="rods")


def test_coarser_writing_has_a_larger_error() -> None:
    assert read_length("1 m").error_m > read_length("1.02 m").error_m
    assert read_length("9 ft").error_m > read_length("9 ft 0 in").error_m


def test_a_calibrated_pace_replaces_the_usual_one() -> None:
    pace = calibrate_pace(20, [25, 26, 25, 24])
    assert pace.mean_m == pytest.approx(0.801, abs=1e-3)
    own, usual = read_length("10 paces", pace=pace), read_length("10 paces")
    assert own.method == "paces"
    assert usual.method == "paces, not calibrated"
    assert own.error_m < usual.error_m


def test_errors_of_paces_cover_the_truth() -> None:
    rng = np.random.default_rng(3)
    inside = 0
    for _ in range(200):
        stride = rng.normal(0.75, 0.06)
        walks = [20 / rng.normal(stride, 0.05 / math.sqrt(27)) for _ in range(4)]
        pace = calibrate_pace(20, [round(walk * 2) / 2 for walk in walks])
        truth = rng.uniform(3, 12)
        counted = round(truth / rng.normal(stride, 0.05 / math.sqrt(truth / stride)) * 2) / 2
        said = pace.length(counted)
        inside += abs(said.metres - truth) < 1.96 * said.error_m
    assert inside >= 180


@pytest.mark.parametrize(
    ("distance", "paces"), [(20, [25, 26]), (20, [3, 3, 3]), (20, [25, 0, 25])]
)
def test_impossible_calibrations_are_refused(distance, paces) -> None:
    with pytest.raises(BadQuestion):
        calibrate_pace(distance, paces)


coordinates = st.floats(-8, 8)


@given(coordinates, coordinates, st.floats(0, 2 * math.pi), st.floats(0.5, 6))
def test_exact_tapes_give_the_place_back(along, right, turn, base) -> None:
    first = Point(1.0, -2.0)
    second = Point(1 + base * math.cos(turn), -2 + base * math.sin(turn))
    across = (second.along_m - first.along_m) * (right - first.right_m) - (
        second.right_m - first.right_m
    ) * (along - first.along_m)
    assume(abs(across) / base > 0.3)
    ones = math.hypot(along - first.along_m, right - first.right_m)
    twos = math.hypot(along - second.along_m, right - second.right_m)
    side = "right" if across > 0 else "left"
    found = where_tapes_meet(
        first, Length(ones, 0.01, "tape"), second, Length(twos, 0.01, "tape"), side
    )
    assert (found.place.along_m, found.place.right_m) == pytest.approx((along, right), abs=1e-6)


def test_twenty_known_spots_are_found_within_three_inches() -> None:
    """Tapes read to the half inch with a reader's own error of half an inch."""
    rng = np.random.default_rng(8)
    first, second = Point(0, -1.5), Point(0, 1.5)
    off = []
    for _ in range(20):
        along, right = rng.uniform(0.6, 4), rng.uniform(-2, 2)
        tapes = []
        for known in (first, second):
            inches = math.hypot(along, right - known.right_m) / 0.0254 + rng.normal(0, 0.5)
            tapes.append(read_length(f"{round(inches * 2) / 2} in"))
        found = where_tapes_meet(first, tapes[0], second, tapes[1], "left")
        off.append(math.hypot(found.place.along_m - along, found.place.right_m - right))
    assert np.mean(np.array(off) < 3 * 0.0254) >= 0.95


def test_the_error_of_a_place_covers_the_truth() -> None:
    rng = np.random.default_rng(2)
    first, second = Point(0, 0), Point(0, 3)
    inside = 0
    for _ in range(400):
        along, right = rng.uniform(-4, -0.5), rng.uniform(-1, 4)
        tapes = []
        for p in (first, second):
            true = math.hypot(along, right - p.right_m)
            tapes.append(Length(true + rng.normal(0, 0.02), 0.02, "tape"))
        found = where_tapes_meet(first, tapes[0], second, tapes[1], "right")
        inside += abs(found.place.along_m - along) < 1.96 * found.error_along_m + 1e-9
    assert 0.92 <= inside / 400 <= 0.985


def test_tapes_that_do_not_meet_say_by_how_much() -> None:
    short = Length(1.0, 0.02, "tape")
    with pytest.raises(BadQuestion, match=r"miss each other by 1\.00 m"):
        where_tapes_meet(Point(0, 0), short, Point(3, 0), short, "left")
    with pytest.raises(BadQuestion, match="miss each other"):
        where_tapes_meet(Point(0, 0), Length(9, 0.02, "tape"), Point(3, 0), short, "left")
    with pytest.raises(BadQuestion, match="same"):
        where_tapes_meet(Point(0, 0), short, Point(0, 0), short, "left")


@pytest.mark.parametrize(("one", "two"), [(1.5, 1.46), (4.04, 1.0), (1.0, 4.04)])
def test_tapes_that_miss_by_a_hair_are_brought_together(one, two) -> None:
    found = where_tapes_meet(
        Point(0, 0), Length(one, 0.02, "tape"), Point(3, 0), Length(two, 0.02, "tape"), "left"
    )
    assert found.gap_m == pytest.approx(0.04)
    assert found.place.right_m == 0
    assert abs(found.place.along_m) == pytest.approx(one, abs=0.03)
    assert found.error_right_m > found.error_along_m


def test_an_uncalibrated_pace_says_so() -> None:
    assert Pace().length(3).method == "paces, not calibrated"
