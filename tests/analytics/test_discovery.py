"""What may be called found: states, minimum data, the declared focus, and shrinkage."""

import numpy as np
import pytest

from analytics.answer import HABIT
from analytics.clustered import with_t_interval
from analytics.discovery import Looked, judge


def looked(key: str, value: float, se: float = 1.0, sessions: int = 8, matters: float = 0.5):
    estimate = with_t_interval(value, se, sessions - 1, (40 * sessions, sessions))
    return Looked(key, "habit", estimate, "m", HABIT, matters)


def test_verdicts_and_states():
    found = judge(
        [
            looked("strong", 9.0),
            looked("hint", 2.6),
            looked("open", 0.3),
            looked("narrow", 0.01, se=0.05),
            looked("young", 9.0, sessions=3),
        ]
    )
    assert [(f.verdict, f.answer.state) for f in found] == [
        ("effect", "clear"),
        ("hint", "leaning"),
        ("open", "leaning"),
        ("no_effect", "clear"),
        ("too_early", "too_early"),
    ]
    assert found[-1].answer.need == "3 of 6 days"


def test_many_noise_tiles_make_a_lone_hint_no_find():
    """p = 0.02 alone is a find; beside eleven others it is not."""
    alone = judge([looked("it", 3.0)])[0]
    crowd = judge([looked("it", 3.0), *[looked(f"n{i}", 0.1 * i) for i in range(11)]])[0]
    assert (alone.verdict, crowd.verdict) == ("effect", "hint")
    assert crowd.q_value == pytest.approx(12 * alone.p_value)


def test_what_is_too_early_takes_no_part():
    young = [looked(f"y{i}", 0.0, sessions=2) for i in range(11)]
    assert judge([looked("it", 3.0), *young])[0].verdict == "effect"


def test_a_declared_focus_is_tested_on_its_own():
    noise = [looked(f"n{i}", 0.1 * i) for i in range(11)]
    found = judge([looked("it", 3.1), *noise], declared="it")
    assert found[0].verdict == "effect"
    assert found[0].q_value == found[0].p_value


def test_expected_value_is_drawn_toward_nothing():
    strong, weak = judge([looked("a", 9.0), looked("b", 1.0)])
    assert 8.0 < strong.expected < 9.0
    assert weak.expected == pytest.approx(0.0, abs=0.31)


def test_nothing_looked_at_finds_nothing():
    assert judge([]) == []


def test_unknown_estimates_are_too_early_without_numbers():
    nan = float("nan")
    one = Looked("x", "habit", with_t_interval(nan, nan, 0, (0, 0)), "m", HABIT, 1.0)
    answer = judge([one])[0].answer
    assert (answer.value, answer.low, answer.high, answer.state) == (None, None, None, "too_early")
    assert np.isnan(one.estimate.p_value)
