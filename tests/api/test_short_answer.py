"""The short answer's triples: beside the last ones stands what their whole day held."""

from datetime import date
from types import SimpleNamespace

import numpy as np
from scipy import stats

from analytics.answer import CENTRE
from analytics.brackets import BracketDay, TripleOdds
from analytics.clustered import mean_over_shots
from analytics.estimate_answers import level_answer
from api.reader_units import ReaderUnits
from api.short_answer import triples_line
from api.wording import Wording

FEET = Wording("en", ReaderUnits("ft", "mph"))
FOOT_M = 0.3048
ODDS = np.array([0.9, 0.8, 0.95, 0.7, 0.85, 0.9, 0.75, 0.9, 0.8, 0.85, 0.9, 0.95])


def triple(session_id, held):
    feet = {"near_m": 21.5, "far_m": 26.5, "long_m": 28.0, "short_m": 20.0}
    rest = dict.fromkeys(
        ("long_past", "short_of", "shot_between", "width_m", "centre_offset_m", "shot_place")
    )
    row = SimpleNamespace(session_id=session_id, carry_m=25 * FOOT_M)
    return TripleOdds(
        row=row, window_held=held, **rest, **{name: ft * FOOT_M for name, ft in feet.items()}
    )


def day(session_id, odds):
    held = level_answer(mean_over_shots(odds, np.zeros(odds.size, dtype=int)), "1", CENTRE, 0.1)
    return BracketDay(
        session_id, date(2026, 5, 4), 21.5 * FOOT_M, 26.5 * FOOT_M, True, odds.size, *[held] * 6
    )


def line(*days, last):
    triples = tuple(triple(last, float(held)) for held in ODDS[-3:])
    return triples_line(SimpleNamespace(brackets=SimpleNamespace(triples=triples, days=days)), FEET)


def test_the_day_of_the_last_triples_stands_beside_them_with_interval_state_and_count():
    low, high = stats.t.interval(0.95, ODDS.size - 1, ODDS.mean(), stats.sem(ODDS))
    said = line(day("ada:1", ODDS * 0 + 0.1), day("ada:2", ODDS), last="ada:2")
    assert said.startswith(
        "window 21.5 ft to 26.5 ft: 28.0 long / 20.0 short / 25.0 in (held 85 %)"
    )
    span = f"{100 * low:.0f} % to {100 * high:.0f} %"
    assert said.endswith(f"; that day held 85 % ({span}), clear, 12 triples")


def test_a_day_whose_interval_decides_nothing_leans():
    wide = np.tile([0.1, 0.9], 6)
    assert "that day held 50 % (23 % to 77 %), leaning" in line(day("ada:1", wide), last="ada:1")


def test_a_day_of_few_triples_is_too_early_and_says_what_it_needs():
    said = line(day("ada:1", ODDS[:3]), last="ada:1")
    assert said.endswith(", too early: 3 of 10 shots, 3 triples")
    alone = line(day("ada:1", ODDS[:1]), last="ada:1")
    assert alone.endswith("that day held 90 % (–), too early: 1 of 10 shots, 1 triple")


def test_nothing_is_said_of_a_day_that_is_not_known():
    assert "that day" not in line(day("ada:1", ODDS), last="ada:2")
    none = SimpleNamespace(brackets=SimpleNamespace(triples=(), days=()))
    assert triples_line(none, FEET).startswith("none paired yet")
