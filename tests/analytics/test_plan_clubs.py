"""A player's clubs for the planner: what was planted in the book comes out, what lacks is said."""

import math
from pathlib import Path

import pytest

from analytics.carry_to_roll import Run
from analytics.db import in_memory, open_store
from analytics.errors import NothingYet
from analytics.plan_clubs import plan_clubs, start_direction
from analytics.roll import Green
from analytics.run_ratio import CHART, run_ratio
from tests.analytics.test_db import rows
from tests.invented_lesson import LEVEL, RATIO, ROBIN, write_book


@pytest.fixture(scope="module")
def book(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("book")
    write_book(folder)
    return folder


def test_the_planted_player_comes_out(book) -> None:
    found = plan_clubs(open_store(book, ROBIN.player_id), ROBIN.player_id)
    assert [club.club for club in found.clubs] == ["9I", "PW", "SW"]
    for club in found.clubs:
        assert math.log(club.run_ratio / RATIO[club.club]) == pytest.approx(0, abs=0.2)
        assert 0.06 < club.carry_shot_sd < 0.14
        assert club.start_bias_deg == pytest.approx(-1.0, abs=0.5)
        assert club.start_sd_deg == pytest.approx(1.8, abs=0.3)
        assert club.carry_low_m < LEVEL[club.club] * 0.7**1.95 < club.carry_high_m
        assert 44 <= club.n_shots <= 48  # the rule may set a ball or two aside
        assert (club.n_sessions, club.too_early) == (4, "")
    assert found.assumed == ()


def test_what_is_not_known_is_said(tmp_path) -> None:
    shots = rows(
        "shots",
        *(
            {
                "player_id": "ana1",
                "import_id": "i",
                "event_id": str(n),
                "club": "LW",
                "carry_m": 5.0 + n / 20,
                "swing_length": "hip",
            }
            for n in range(6)
        ),
    )
    found = plan_clubs(in_memory({"shots": shots}), "ana1")
    club = found.clubs[0]
    assert club.run_ratio == CHART["LW"]
    assert club.too_early == "6 of 10 shots, 1 of 2 days, run known of 0 of 10 balls"
    assert "LW: run from the trade's chart" in found.assumed[0]
    assert "start directions spread" in found.assumed[1]
    assert club.carry_low_m < 5.0 < club.carry_high_m
    wet = plan_clubs(in_memory({"shots": shots}), "ana1", wet=True)
    assert any("wet green" in word for word in wet.assumed)


def test_no_ball_says_what_to_do() -> None:
    with pytest.raises(NothingYet, match="import a launch device"):
        plan_clubs(in_memory({}), "ana1")


def test_start_directions_without_a_side_are_drawn_to_none() -> None:
    nothing = start_direction(in_memory({}), "ana1")
    assert (nothing.bias_deg, nothing.n_shots) == (0.0, 0)


def runs(ratio, n, green_ft=10.0, wet=False, club="SW", session="a"):
    return [Run(club, session, 8.0, 8.0 * ratio, green_ft, wet) for _ in range(n)]


def test_own_runs_take_over_from_the_chart() -> None:
    greens = {"a": Green(10), "b": Green(10)}
    few = run_ratio("SW", runs(2.0, 1), greens)
    many = run_ratio("SW", runs(2.0, 20) + runs(2.0, 20, session="b"), greens)
    assert 1.0 < few.ratio < many.ratio < 2.0
    assert many.ratio == pytest.approx(2.0, rel=0.1)
    assert many.common_sd < few.common_sd
    assert (many.n_shots, many.n_sessions) == (40, 2)


def test_runs_of_a_fast_and_sloping_green_are_brought_to_the_reference() -> None:
    fast = run_ratio("SW", runs(1.2, 30, 12.0), {"a": Green(12)})
    assert fast.ratio == pytest.approx(1.0, rel=0.02)
    downhill = run_ratio("SW", runs(1.2, 30), {"a": Green(10, 1.5, 0)})
    assert downhill.ratio < 0.95


def test_wet_balls_and_balls_without_a_green_are_left_out() -> None:
    greens = {"a": Green(10)}
    mixed = runs(1.0, 10) + runs(0.4, 10, wet=True) + runs(3.0, 10, session="unknown")
    assert run_ratio("SW", mixed, greens).ratio == pytest.approx(1.0, rel=0.05)
    assert run_ratio("SW", mixed, greens, wet=True).ratio < 0.7
