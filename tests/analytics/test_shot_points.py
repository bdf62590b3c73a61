"""Balls behind a curve, one by one: marked as mishits where the curve itself sets them apart."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from analytics.carry_curve import carry_curve
from analytics.db import in_memory
from analytics.shot_points import shot_points
from tests.analytics.demo_tables import table

START = datetime(2026, 5, 4, 9, tzinfo=UTC)
FAT = 26


def shot(number, day, speed_mps, carry_m):
    """One ball with the sand wedge; `day` counts from START."""
    return {
        "player_id": "pada1",
        "event_id": f"e{number:02}",
        "import_id": "i",
        "source_line": number,
        "struck_at_utc": START + timedelta(days=day, minutes=number),
        "club": "SW",
        "club_speed_mps": float(speed_mps),
        "carry_m": float(carry_m),
    }


def connection(marked):
    """30 clean balls, one a good quarter short, FAT half as far; the coach marked `marked`."""
    rng = np.random.default_rng(4)
    speed = rng.uniform(8, 12, 31 + FAT)
    carry = 0.11 * speed**1.95 * np.exp(rng.normal(0, 0.04, speed.size))
    carry[30] *= 0.72
    carry[31:] *= 0.5
    struck = enumerate(zip(speed, carry, strict=True))
    shots = [shot(number, number % 3, v, c) for number, (v, c) in struck]
    edits = [
        {
            "player_id": "pada1",
            "edit_id": event,
            "edited_at_utc": START,
            "action": "mishit",
            "target": "shots",
            "target_id": event,
        }
        for event in marked
    ]
    return in_memory({"shots": table("shots", shots), "edits": table("edits", edits)})


def test_the_balls_set_apart_are_those_the_curve_sets_apart():
    fat = [f"e{number:02}" for number in range(31, 31 + FAT)]
    for marked in (fat, [*fat, "e00", "e01"]):
        con = connection(marked)
        points, curve = shot_points(con, "pada1"), carry_curve(con, "pada1", "SW")
        assert {one.event_id for one in points if one.by_coach} == set(marked)
        by_rule = {one.event_id for one in points if one.mishit and not one.by_coach}
        assert len(by_rule) == curve.n_rule
        assert by_rule == {"e30", *fat} - set(marked)


@pytest.mark.parametrize("short", [0.12, 0.14, 0.16])
def test_where_few_balls_tell_both_take_the_same_for_usual(short):
    """Seven balls, one of them this much short as ln carry: 0.14 lies between two usual spreads."""
    far = [8.0 * np.exp(-short * (number == 6)) for number in range(7)]
    shots = [shot(number, number % 3, 9.0, c) for number, c in enumerate(far)]
    con = in_memory({"shots": table("shots", shots)})
    by_rule = sum(one.far_off for one in shot_points(con, "pada1"))
    assert by_rule == carry_curve(con, "pada1", "SW").n_rule == (short > 0.15)


def test_balls_off_another_surface_are_no_mishits_of_the_curve():
    """Ten balls off a mat that runs a third shorter, then twenty off the ground."""
    off_mat = [0.7 if number < 10 else 1.0 for number in range(30)]
    far = [8.0 * np.exp((number % 5 - 2) / 50) * part for number, part in enumerate(off_mat)]
    shots = [shot(number, number // 10, 9.0, c) for number, c in enumerate(far)]
    days = [
        {"player_id": "pada1", "import_id": "i", "day": START.date() + timedelta(days=day),
         "surface": "fairway" if day else "mat"}
        for day in range(3)
    ]  # fmt: skip
    con = in_memory({"shots": table("shots", shots), "sessions": table("sessions", days)})
    points, curve = shot_points(con, "pada1"), carry_curve(con, "pada1", "SW")
    assert len(points) == curve.n_shots == 20
    assert not any(one.mishit for one in points)


def test_a_club_of_which_the_coach_marked_every_ball_is_drawn_all_the_same():
    everything = [f"e{number:02}" for number in range(31 + FAT)]
    points = shot_points(connection(everything), "pada1")
    assert len(points) == len(everything)
    assert all(one.mishit for one in points)
