"""Run over carry: Fieller's interval, green speeds apart, marks before the device's own run."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from analytics.carry_to_roll import Run, carry_to_roll, player_runs, ratios
from analytics.db import in_memory
from analytics.errors import BadQuestion
from analytics.ratio import fieller, ratio_of_means
from tests.analytics.simulated_players import DAY_ONE, rows


def runs(ratio, n, green=10.0, sessions=1, seed=0, club="PW"):
    rng = np.random.default_rng(seed)
    carry = rng.normal(6.0, 0.6, n)
    run = ratio * carry * np.exp(rng.normal(0, 0.2, n))
    return [
        Run(club, f"s{i % sessions}", float(c), float(r), green, i % 2 == 0)
        for i, (c, r) in enumerate(zip(carry, run, strict=True))
    ]


def test_ten_balls_say_little_about_a_ratio_of_two():
    found = ratios(runs(2.0, 10))[0]
    assert found.ratio.low < 2.0 < found.ratio.high
    assert 0.25 < found.ratio.high - found.ratio.low < 1.0
    assert (found.ratio.n_shots, found.n_wet) == (10, 5)
    assert ratios(runs(2.0, 9))[0].ratio.state == "too_early"


@pytest.mark.parametrize("days", [1, 5])
def test_the_interval_holds_nine_times_in_ten(days):
    rng = np.random.default_rng(3)
    held = []
    for _ in range(800):
        shift = rng.normal(0, 0.15, days) if days > 1 else np.zeros(1)
        day = np.arange(20) % days
        carry = rng.normal(6, 0.7, 20)
        run = 2.0 * carry + rng.normal(0, 1.5, 20) + shift[day] * carry
        found = ratio_of_means(run, carry, day)
        held.append(found.low < 2.0 < found.high)
    assert 0.87 <= np.mean(held) <= 0.93


def test_a_lower_mean_that_may_be_zero_has_no_ratio():
    assert fieller((1.0, 0.1), (0.01, 0.0, 0.01), 1.8) == (None, None)
    low, high = fieller((2.0, 1.0), (0.0, 0.0, 0.0), 1.8)
    assert (low, high) == (2.0, 2.0)


def test_one_ball_has_a_ratio_without_an_interval():
    found = ratios(runs(1.5, 1))[0]
    assert found.ratio.low is None
    assert found.ratio.need == "1 of 10 shots"


def test_green_speeds_stay_apart_unless_one_is_asked_for():
    both = runs(1.0, 12, 8.0) + runs(1.5, 12, 12.0, seed=1)
    assert [found.green_speed_ft for found in ratios(both)] == [8, 12]
    (one,) = ratios(both, 12.0)
    assert one.scaled
    assert one.ratio.value == pytest.approx(1.5, rel=0.12)
    assert one.ratio.n_shots == 24


def test_runs_come_from_the_device_and_from_marks():
    ball = {
        "player_id": "pa",
        "club": "PW",
        "import_id": "i",
        "struck_at_utc": DAY_ONE,
        "carry_m": 5.0,
    }
    shots = [
        ball | {"event_id": "a", "device_number": 1, "roll_m": 4.0},
        ball | {"event_id": "b", "device_number": 2, "total_m": 11.0},
        ball | {"event_id": "c", "device_number": 3},
    ]
    mark = {
        "player_id": "pa",
        "event_id": "m",
        "ball_number": 3,
        "marked_at_utc": DAY_ONE,
        "land_past_edge_m": 1.0,
        "leave_m": 2.0,
        "leave_bearing_deg": 180.0,
        "import_id": "i",
    }
    day = {
        "player_id": "pa",
        "day": date(2026, 3, 2),
        "hole_m": 14.0,
        "edge_m": 4.0,
        "fall_line_deg": 0.0,
        "green_speed_ft": 9.6,
    }
    con = in_memory(
        {
            "shots": rows("shots", *shots),
            "marks": rows("marks", mark),
            "sessions": rows("sessions", day),
        }
    )
    (found,) = carry_to_roll(con, "pa")
    assert found.green_speed_ft == 10
    # runs of 4, 11 − 5 and (14 − 2) − (4 + 1) metres
    assert found.mean_run_m == pytest.approx((4 + 6 + 7) / 3)
    assert found.ratio.value == pytest.approx(17 / 15)
    with pytest.raises(BadQuestion, match="3 to 16"):
        carry_to_roll(con, "pa", 40.0)


def test_a_ratio_stands_with_and_without_mishits():
    clean = runs(1.0, 12)
    bad = [replace(run, run_m=3 * run.run_m, mishit=True) for run in runs(1.0, 4, seed=2)]
    (alone,), (found,) = ratios(clean), ratios(clean + bad)
    assert (alone.n_mishits, alone.with_mishits) == (0, alone.ratio)
    assert (found.ratio, found.mean_run_m, found.n_wet) == (
        alone.ratio,
        alone.mean_run_m,
        alone.n_wet,
    )
    assert found.n_mishits == 4
    total = sum(run.run_m for run in clean + bad) / sum(run.carry_m for run in clean + bad)
    assert found.with_mishits.value == pytest.approx(total)
    assert found.with_mishits.n_shots == 16
    assert ratios(bad) == []


def test_a_ball_the_coach_calls_a_mishit_counts_on_one_side_only():
    ball = {"player_id": "pa", "club": "PW", "import_id": "i", "struck_at_utc": DAY_ONE}
    shots = [
        ball | {"event_id": f"e{i}", "carry_m": 5.0, "roll_m": run}
        for i, run in enumerate((4.0, 5.0, 12.0))
    ]
    said = {
        "player_id": "pa",
        "event_id": "x",
        "target": "shots",
        "target_id": "e2",
        "action": "mishit",
        "edited_at_utc": DAY_ONE,
    }
    con = in_memory({"shots": rows("shots", *shots), "edits": rows("edits", said)})
    (found,) = carry_to_roll(con, "pa")
    assert (found.ratio.value, found.with_mishits.value) == pytest.approx((0.9, 1.4))
    assert len(player_runs(con, "pa")) == 2
