"""Homework: one focus, blocks under a cap, targets by chance, cautions always."""

import random
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from analytics.db import in_memory
from analytics.drills import DRILLS
from analytics.errors import BadQuestion
from analytics.homework import homework
from analytics.open_points import open_points
from analytics.practice_plan import Missing, OpenPoint, fair_target, plan_practice
from analytics.scored_rules import built_in_rules
from tests.analytics.test_db import rows
from tests.analytics.test_leaves import AT, mark

REAL = OpenPoint("tempo", "tempo falls late in the session", 0.2, 0.98)
NOISE = [OpenPoint(part, "noise", 0.3, 0.3**4) for part in ("landing", "direction", "bracket")]


def test_the_point_with_most_strokes_times_certainty_becomes_the_focus() -> None:
    plan = plan_practice([*NOISE, REAL])
    assert plan.pieces[0].focus == "tempo"
    assert (plan.pieces[0].blocks, plan.pieces[0].balls_per_block) == (3, 15)


def test_shuffled_noise_does_not_change_the_plan() -> None:
    rng = random.Random(4)
    plans = set()
    for _ in range(20):
        points = [*NOISE, REAL]
        rng.shuffle(points)
        shuffled = [
            OpenPoint(p.part, p.why, p.strokes * rng.uniform(0.5, 1.5), p.certainty, p.club)
            for p in points
        ]
        plans.add(tuple(piece.title for piece in plan_practice(shuffled).pieces))
    assert len(plans) == 1


def test_nothing_open_still_gives_a_plan_that_says_so() -> None:
    plan = plan_practice([])
    assert "nothing stands out" in plan.pieces[0].why
    assert plan.pieces[-1].test == "nine_station_hole_out@1"


def test_missing_balls_are_asked_for_once_and_not_more_than_a_day_gives() -> None:
    plan = plan_practice([REAL], [Missing("PW", 8, "PW too early"), Missing("SW", 40, "SW early")])
    measuring = [piece for piece in plan.pieces if piece.focus == "measure"]
    assert [(piece.club, piece.balls) for piece in measuring] == [("SW", 15)]


@given(st.integers(9, 200), st.sampled_from(["adult", "junior"]))
def test_the_cap_is_kept_and_blocks_stay_whole(cap, band) -> None:
    plan = plan_practice([REAL], [Missing("SW", 15, "early")], band, cap)
    assert 0 < plan.balls <= cap
    assert all(piece.blocks >= 1 for piece in plan.pieces)


def test_juniors_get_the_lower_cap_and_their_caution() -> None:
    junior = plan_practice([REAL], (), "junior")
    assert junior.cap == 45
    assert "junior" in junior.cautions
    assert "load" in plan_practice([]).cautions
    with pytest.raises(BadQuestion, match="leaves no block"):
        plan_practice([], cap=3)


@given(st.floats(0.05, 0.95), st.integers(5, 60))
def test_a_fair_target_is_the_hardest_with_four_in_ten(rate, balls) -> None:
    target = fair_target(rate, balls)
    assert target == 1 or stats.binom.sf(target - 1, balls, rate) >= 0.4
    assert target == balls or stats.binom.sf(target, balls, rate) < 0.4


def test_drills_name_tests_that_exist_and_stop_rules_that_mind_pain() -> None:
    known = built_in_rules()
    for drill in DRILLS:
        assert not drill.test or drill.test in known
    assert all("hurts" in piece.stop_rule for piece in plan_practice([REAL]).pieces)


def entry(kind, minute, **more):
    return {
        "player_id": "ana1",
        "import_id": "h",
        "event_id": f"{kind}{minute}",
        "homework_id": "h1",
        "entry": kind,
        "said_at_utc": AT + timedelta(minutes=minute),
    } | more


def test_the_newest_report_says_what_came_of_homework() -> None:
    given_rows = rows(
        "homework",
        entry("set", 0, title="Leave it below", blocks=3, balls_per_block=9, focus="leave"),
        entry("report", 10, outcome="part", balls_done=9),
        entry("report", 20, outcome="done", balls_done=18),
        entry("report", 5, homework_id="stray", outcome="done"),
    )
    found = homework(in_memory({"homework": given_rows}), "ana1")
    assert [(one.title, one.outcome, one.balls_done, one.n_reports) for one in found] == [
        ("Leave it below", "done", 27, 2)
    ]
    assert not found[0].is_open


def test_open_points_of_an_empty_book_are_none() -> None:
    players = rows("players", {"player_id": "ana1", "handedness": "right", "zone": "UTC"})
    found = open_points(in_memory({"players": players}), "ana1")
    assert found.points == ()
    assert found.missing == ()


def test_chips_that_finish_above_the_hole_become_a_point() -> None:
    players = rows("players", {"player_id": "ana1", "handedness": "right", "zone": "UTC"})

    def weight(bearing):
        marks = rows("marks", *(mark(n, n, 2.5, bearing) for n in range(1, 31)))
        found = open_points(in_memory({"marks": marks, "players": players}), "ana1")
        return found.points[0].weight

    assert weight(180.0) > 0.05
    assert weight(0.0) < 0.001
