"""Rules as data, and scores worked out from balls."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.errors import BadQuestion, NoSuchTest
from analytics.hole import FOOT_M
from analytics.scored_rules import all_rules, built_in_rules, find_rules, parse_rules
from analytics.scored_test import Ball, drawn_stations, score

RULES = built_in_rules()
HOLE_OUT = RULES["nine_station_hole_out@1"]
LOW_SIDE = RULES["nine_station_low_side@1"]
GATE = RULES["gate_twenty@1"]
BRACKET = RULES["bracket_twelve@1"]
LADDER = RULES["club_ladder@1"]


def test_the_named_tests_have_their_limits_and_targets() -> None:
    facts = {key: (rules.draw, rules.best, rules.target) for key, rules in RULES.items()}
    assert facts == {
        "nine_station_hole_out@1": (9, 9, 21),
        "nine_station_low_side@1": (9, 36, 27),
        "gate_twenty@1": (20, 20, 14),
        "window_twenty@1": (20, 20, 10),
        "bracket_twelve@1": (12, 36, 24),
        "club_ladder@1": (10, 10, 6),
    }


def test_strokes_are_added_and_compared_with_the_target() -> None:
    strokes = [2, 2, 3, 2, 2, 3, 2, 2, 3]
    attempt = score(HOLE_OUT, [Ball(i, strokes=s) for i, s in enumerate(strokes, 1)])
    assert attempt.total == 21
    assert attempt.complete
    assert attempt.target_reached


def test_low_side_points_by_hand() -> None:
    balls = [
        Ball(1, leave_m=5 * FOOT_M, leave_bearing_deg=0),  # 2 + 1 + 1
        Ball(2, leave_m=5 * FOOT_M, leave_bearing_deg=80),  # 2 + 1
        Ball(3, leave_m=9 * FOOT_M, leave_bearing_deg=300),  # 2 + 1
        Ball(4, leave_m=5 * FOOT_M, leave_bearing_deg=120),  # 1
        Ball(5, leave_m=9 * FOOT_M, leave_bearing_deg=180),  # 0
        Ball(6, leave_m=0),  # holed: 4
    ]
    attempt = score(LOW_SIDE, balls)
    assert [one.points for one in attempt.scores] == [4, 3, 3, 1, 0, 4]
    assert attempt.total == 15
    assert attempt.open_stations == (7, 8, 9)
    assert not attempt.target_reached


def test_uniform_leaves_score_at_chance() -> None:
    """Analytic: 9·(2·½ + P(within 6 ft) + ⅓) for finishes at every bearing alike."""
    rng = np.random.default_rng(6)
    totals = []
    for _ in range(1500):
        leave = rng.uniform(0.1, 12 * FOOT_M, 9)
        bearing = rng.uniform(0, 360, 9)
        balls = [
            Ball(i + 1, leave_m=float(leave[i]), leave_bearing_deg=float(bearing[i]))
            for i in range(9)
        ]
        totals.append(score(LOW_SIDE, balls).total)
    near = (6 * FOOT_M - 0.1) / (12 * FOOT_M - 0.1)
    expected = 9 * (2 * 0.5 + near + 1 / 3)
    assert np.mean(totals) == pytest.approx(expected, abs=4 * np.std(totals) / np.sqrt(1500))


def test_hits_and_judgements() -> None:
    assert score(GATE, [Ball(i, hit=i % 2 == 0) for i in range(1, 21)]).total == 10
    assert score(BRACKET, [Ball(1, judged=(True, False, True))]).total == 2
    assert score(LADDER, [Ball(1, leave_m=6 * FOOT_M), Ball(2, leave_m=2.0)]).total == 1


@given(st.permutations(range(1, 10)))
def test_the_order_of_play_does_not_change_the_total(order) -> None:
    assert score(HOLE_OUT, [Ball(i, strokes=1 + i % 4) for i in order]).total == 22


def test_a_drawn_test_is_drawn_alike_for_one_seed_and_differs_between_seeds() -> None:
    drawn = [tuple(s.number for s in drawn_stations(LOW_SIDE, seed)) for seed in (1, 1, 2)]
    assert drawn[0] == drawn[1]
    assert drawn[0] != drawn[2]
    assert sorted(drawn[0]) == list(range(1, 10))
    assert [s.number for s in drawn_stations(HOLE_OUT, 5)] == list(range(1, 10))


@pytest.mark.parametrize(
    ("rules", "balls", "why"),
    [
        (HOLE_OUT, [Ball(1, strokes=2), Ball(1, strokes=3)], "Station 1 is scored twice"),
        (HOLE_OUT, [Ball(10, strokes=2)], "no station 10"),
        (HOLE_OUT, [Ball(1, strokes=0)], "0 strokes cannot be"),
        (HOLE_OUT, [Ball(1)], "None strokes cannot be"),
        (HOLE_OUT, [Ball(1, strokes=3, leave_m=0)], "holed chip takes 1 stroke"),
        (LOW_SIDE, [Ball(1, leave_m=2.0)], "bearing of the finish is missing"),
        (LOW_SIDE, [Ball(1, leave_m=-1.0, leave_bearing_deg=3)], "-1.0 m cannot be"),
        (LOW_SIDE, [Ball(1, leave_bearing_deg=3)], "None m cannot be"),
        (GATE, [Ball(1)], "hit or miss is not given"),
        (BRACKET, [Ball(1, judged=(True,))], "1 of 3 judgements"),
    ],
)
def test_impossible_scores_are_refused(rules, balls, why) -> None:
    with pytest.raises(BadQuestion, match=why) as caught:
        score(rules, balls)
    assert caught.value.mend


OWN = """
name = "my_test"
version = 3
title = "My Test"
measure = "hits"
target = 5
total_sd = 1.5
order = "fixed"
draw = 8
[[station]]
lie = "sand"
repeat = 8
"""


def test_a_coach_brings_an_own_test(tmp_path) -> None:
    (tmp_path / "mine.toml").write_text(OWN, "utf-8")
    known = all_rules(tmp_path)
    assert find_rules("My Test", known).key == "my_test@3"
    assert find_rules("nine-station hole-out", known) == HOLE_OUT
    with pytest.raises(NoSuchTest, match="no test 'other'"):
        find_rules("other", known)


def test_the_newest_version_is_meant_by_the_name(tmp_path) -> None:
    (tmp_path / "a.toml").write_text(OWN, "utf-8")
    (tmp_path / "b.toml").write_text(OWN.replace("version = 3", "version = 4"), "utf-8")
    known = all_rules(tmp_path)
    assert find_rules("my_test", known).version == 4
    assert find_rules("my_test@3", known).version == 3


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (("measure", "x_measure"), "lack the field 'measure'"),
        (('"hits"', '"laps"'), "'laps' is unknown"),
        (("draw = 8", "draw = 9"), "exceeds the stations"),
        (('"hits"', '"points"'), "needs awards"),
        (("total_sd = 1.5", "total_sd = 0"), "above zero"),
        (("version = 3", "version = "), "no TOML"),
        (('"my_test"', '"my test"'), "letters, digits"),
        (("repeat = 8", 'repeat = "8"'), "wrong kind"),
    ],
)
def test_broken_rules_say_what_is_wrong(change, why) -> None:
    with pytest.raises(BadQuestion, match=why):
        parse_rules(OWN.replace(*change))


def test_a_built_in_name_is_taken(tmp_path) -> None:
    text = OWN.replace("my_test", "gate_twenty").replace("version = 3", "version = 1")
    (tmp_path / "gate.toml").write_text(text, "utf-8")
    with pytest.raises(BadQuestion, match="already taken"):
        all_rules(tmp_path)
