"""Which balls make a curve: coach's marks over the rule's, and a change of ball or
surface that is stated."""

from datetime import date

import numpy as np
import pytest

from analytics.carry_curve import carry_curves, curve_stack
from analytics.carry_ladder import carry_ladder
from analytics.db import in_memory
from tests.analytics.simulated_players import (
    DAY_ONE,
    World,
    draw_truth,
    hit,
    one_player,
    rows,
    shots_table,
)


def with_edits(*edits):
    _, _, balls = one_player(n_balls=30, n_days=3, mishits=0.0, shot_sd=0.05)
    balls.carry_m[4] *= 0.5
    common = {"player_id": "p000000", "target": "shots", "edited_by": "c", "edited_at_utc": DAY_ONE}
    con = in_memory(
        {
            "shots": shots_table(balls),
            "edits": rows("edits", *(common | edit for edit in edits)),
        }
    )
    return carry_curves(con, "p000000")[0]


def test_the_rule_marks_what_lies_far_from_the_players_middle():
    curve = with_edits()
    assert (curve.n_shots, curve.n_coach, curve.n_rule) == (29, 0, 1)
    assert curve.mishit_share == 1 / 30
    assert curve.share_low < 1 / 30 < curve.share_high
    at = curve.carry(9.0)
    assert at.with_mishits.low < at.one_shot.low
    assert at.with_mishits.value < at.one_shot.value


def test_a_coach_marks_a_ball_the_rule_leaves_alone():
    curve = with_edits({"target_id": "e00000007", "action": "mishit"})
    assert (curve.n_shots, curve.n_coach, curve.n_rule) == (28, 1, 1)


def test_a_coach_clears_a_ball_the_rule_would_mark():
    curve = with_edits({"target_id": "e00000004", "action": "clean"})
    assert (curve.n_shots, curve.n_coach, curve.n_rule) == (30, 0, 0)
    assert curve.shot_sd > with_edits().shot_sd


def test_a_ball_change_starts_afresh_only_where_it_is_stated():
    _, _, balls = one_player(n_balls=40, n_days=4, mishits=0.0)
    con = in_memory({"shots": shots_table(balls)})
    assert carry_curves(con, "p000000")[0].n_sessions == 4
    days = [date(2026, 3, 2 + day) for day in range(4)]
    stated = [
        {"player_id": "p000000", "day": days[0], "ball": "hard"},
        {"player_id": "p000000", "day": days[2], "ball": "soft"},
    ]
    con = in_memory({"shots": shots_table(balls), "sessions": rows("sessions", *stated)})
    assert carry_curves(con, "p000000")[0].n_sessions == 2
    con = in_memory({"shots": shots_table(balls), "sessions": rows("sessions", stated[1])})
    assert carry_curves(con, "p000000")[0].n_sessions == 4


def off_surfaces(by_ball=None, by_day=None, *edits):
    """Days seen and carry of one club over four days of ten balls, surfaces stated as given."""
    _, _, balls = one_player(n_balls=40, n_days=4, mishits=0.0, day_sd=0.0)
    balls.carry_m[balls.day == 1] *= 1.3
    said = np.array([(by_ball or {}).get(int(day)) for day in balls.day], dtype=object)
    days = [
        {"player_id": "p000000", "day": date(2026, 3, 2 + day), "surface": surface}
        for day, surface in (by_day or {}).items()
    ]
    common = {"player_id": "p000000", "target": "shots", "edited_by": "c", "edited_at_utc": DAY_ONE}
    tables = {
        "shots": shots_table(balls, surface=said),
        "sessions": rows("sessions", *days),
        "edits": rows("edits", *(common | edit for edit in edits)),
    }
    curve = carry_curves(in_memory(tables), "p000000")[0]
    return curve.n_shots + curve.n_coach + curve.n_rule


@pytest.mark.parametrize(
    ("by_ball", "by_day", "kept"),
    [
        (None, None, 40),  # nothing stated, nothing starts afresh
        (None, {2: "mat"}, 40),  # one surface only
        (None, {0: "mat", 2: "grass"}, 30),  # day 0 was off the mat, of day 1 nothing is said
        (None, {1: "mat", 2: "grass"}, 30),
        (None, {0: "mat", 1: "grass", 2: "mat"}, 30),  # back on the mat: its earlier days count
        ({1: "grass", 3: "mat"}, None, 30),  # stated ball by ball
        ({1: "grass"}, {0: "mat", 1: "mat", 2: "mat", 3: "mat"}, 30),  # a ball outranks its day
    ],
)
def test_a_surface_makes_a_curve_of_its_own_only_where_it_is_stated(by_ball, by_day, kept):
    assert off_surfaces(by_ball, by_day) == kept


def test_a_coach_corrects_what_a_ball_was_struck_from():
    days = dict.fromkeys(range(4), "mat")
    moved = {"target_id": "e00000007", "action": "surface", "value": "grass"}
    assert off_surfaces(None, days, moved) == 39


def test_the_ladder_and_every_kind_of_speed_read_the_same_surface():
    _, _, balls = one_player(n_balls=40, n_days=4, mishits=0.0)
    said = np.where(balls.day < 3, "grass", "mat").astype(object)
    con = in_memory({"shots": shots_table(balls, surface=said, ball_speed_mps=balls.speed_mps)})
    (rung,) = carry_ladder(con, "p000000")
    assert rung.centre.n_shots + rung.n_rule == 10
    for kind in ("club", "ball"):
        (curve,) = carry_curves(con, "p000000", kind)
        assert curve.n_sessions == 1


def test_surfaces_of_one_player_touch_no_other():
    world = World(n_players=3, n_balls=20, n_days=4, mishits=0.0)
    balls = hit(world, draw_truth(world), 20, 4, 0)
    said = np.where(balls.day < 2, "grass", "mat").astype(object)
    said[balls.player != 1] = None
    table = curve_stack(in_memory({"shots": shots_table(balls, surface=said)})).table
    assert list(table.n + table.n_rule) == [20, 10, 20]


def test_a_player_with_nothing_but_mishits_has_no_curve():
    _, _, balls = one_player(n_balls=2, n_days=1, mishits=0.0)
    edits = [
        {
            "player_id": "p000000",
            "target": "shots",
            "edited_by": "c",
            "edited_at_utc": DAY_ONE,
            "target_id": f"e0000000{i}",
            "action": "mishit",
        }
        for i in range(2)
    ]
    con = in_memory({"shots": shots_table(balls), "edits": rows("edits", *edits)})
    assert carry_curves(con, "p000000") == []


def test_one_ball_already_gives_a_wide_but_finite_band():
    _, _, balls = one_player(n_balls=1, n_days=1, mishits=0.0)
    curve = carry_curves(in_memory({"shots": shots_table(balls)}), "p000000")[0]
    at = curve.carry(float(balls.speed_mps[0]))
    assert np.isfinite([at.one_shot.low, at.one_shot.high]).all()
    assert curve.state == "too_early"


def test_no_ball_at_all_gives_no_curve():
    assert carry_curves(in_memory({}), "p000000") == []
