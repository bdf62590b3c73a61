"""History of scored tests: what counts as change, what to expect, what is left out."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from analytics.db import in_memory
from analytics.errors import NothingYet
from analytics.score_history import (
    StationScores,
    last_change,
    noise_of_totals,
    stations_to_work_on,
    target_chance,
)
from analytics.scored_rules import built_in_rules
from analytics.scores import played_tests, score_history
from analytics.shrinkage import shrink
from tests.analytics.test_db import rows

RULES = built_in_rules()["nine_station_hole_out@1"]
LOW_SIDE = built_in_rules()["nine_station_low_side@1"]


def test_the_real_change_line_of_nine_stations_is_about_six_strokes() -> None:
    assert noise_of_totals([], RULES.total_sd).real_change == 6
    assert noise_of_totals([23, 24, 22], RULES.total_sd).real_change in (5, 6)


def test_better_by_two_is_no_change_seen() -> None:
    change = last_change([23, 24, 21], RULES)
    assert (change.difference, change.verdict) == (-3, "no change seen")
    assert last_change([26, 25, 26, 19], RULES).verdict == "better"
    assert last_change([20, 21, 20, 29], RULES).verdict == "worse"
    assert last_change([23], RULES).verdict == "too early"
    assert last_change([20, 21, 20, 35], LOW_SIDE).verdict == "better"


def test_two_tests_without_change_rarely_cross_the_line() -> None:
    rng = np.random.default_rng(1)
    crossed = better_by_two = 0
    for _ in range(2000):
        totals = np.round(rng.normal(23, 2.0, 4)).tolist()
        crossed += last_change(totals, RULES).verdict in ("better", "worse")
        better_by_two += totals[-1] - totals[-2] <= -2
    assert crossed / 2000 < 0.08
    assert better_by_two / 2000 == pytest.approx(0.30, abs=0.03)


def test_a_slow_trend_is_not_taken_for_noise() -> None:
    trend = np.linspace(30, 18, 13).tolist()
    assert noise_of_totals(trend, 2.0).sd < 1.5


def test_the_chance_of_the_target_is_kept() -> None:
    """Promised and kept on simulated players with means around the target."""
    rng = np.random.default_rng(3)
    promised, kept = [], []
    for _ in range(4000):
        totals = np.round(rng.normal(rng.normal(21.5, 1.5), 2.0, 5)).tolist()
        promised.append(target_chance(totals[:4], RULES).value)
        kept.append(totals[4] <= 21)
    promised, kept = np.array(promised), np.array(kept)
    for low, high in ((0.1, 0.35), (0.35, 0.65), (0.65, 0.9)):
        chosen = (promised >= low) & (promised < high)
        assert chosen.sum() > 300
        assert promised[chosen].mean() == pytest.approx(kept[chosen].mean(), abs=0.08)


def test_a_target_is_too_early_before_three_sittings() -> None:
    told = target_chance([22, 23], RULES)
    assert (told.state, told.need) == ("too_early", "2 of 3 days")
    assert told.low < told.value < told.high
    with pytest.raises(NothingYet):
        target_chance([], RULES)


def seen(means, n=4, variance=0.7) -> StationScores:
    k = len(means)
    return StationScores(
        tuple(range(1, k + 1)),
        ("",) * k,
        np.full(k, float(n)),
        np.array(means),
        np.full(k, variance),
    )


def test_the_worst_station_is_shown_shrunken() -> None:
    told = stations_to_work_on(seen([2.3, 2.4, 2.2, 2.5, 2.3, 2.9, 2.4, 2.6, 2.2]), RULES)
    worst = told.stations[0]
    assert worst.station == 6
    assert worst.seen == 2.9
    assert worst.expected - 2.42 < 0.3 * (2.9 - 2.42)
    assert not told.any_real


def test_a_truly_hard_station_stays_hard() -> None:
    told = stations_to_work_on(seen([2, 2, 2, 2, 2, 5, 2, 2, 2.0], n=8), RULES)
    assert told.any_real
    assert told.stations[0].expected > 4.5


def test_for_points_the_lowest_station_comes_first() -> None:
    told = stations_to_work_on(seen([3, 3, 3, 1, 3, 3, 3, 3, 2.0]), LOW_SIDE)
    assert told.stations[0].station == 4


def test_one_sitting_ranks_nothing() -> None:
    with pytest.raises(NothingYet, match="once only"):
        stations_to_work_on(seen([2.0] * 9, n=1), RULES)
    with pytest.raises(NothingYet, match="cannot be compared"):
        shrink(np.array([1.0, 2.0]), np.array([1.0, 1.0]))


def score_rows(totals, station_twice=None, short=None):
    given = []
    for week, total in enumerate(totals):
        start = datetime(2026, 3, 2, 9, tzinfo=UTC) + timedelta(weeks=week)
        strokes = [2 + (i < total - 18) for i in range(9)]
        for station, count in enumerate(strokes, 1):
            given.append(
                {
                    "player_id": "ana1",
                    "test": RULES.key,
                    "attempt_id": f"w{week}",
                    "scored_at_utc": start + timedelta(minutes=station),
                    "station": station,
                    "station_text": RULES.stations[station - 1].text,
                    "strokes": count,
                    "import_id": "i",
                    "event_id": f"{week}-{station}",
                }
            )
    if station_twice is not None:
        given.append(given[station_twice] | {"event_id": "again", "strokes": 5})
    if short is not None:
        del given[short]
    return rows("scores", *given)


def test_history_from_the_store() -> None:
    connection = in_memory({"scores": score_rows([23, 24, 22])})
    told = score_history(connection, "ana1", RULES)
    assert [s.total for s in told.sittings] == [23, 24, 22]
    assert told.sittings[0].day == date(2026, 3, 2)
    assert told.change.verdict == "no change seen"
    assert told.stations is not None
    assert played_tests(connection, "ana1") == [RULES.key]
    assert played_tests(connection, "bob2") == []


def test_a_station_scored_twice_or_missing_leaves_the_sitting_out_and_says_so() -> None:
    told = score_history(in_memory({"scores": score_rows([23, 24], 0)}), "ana1", RULES)
    assert [(d.attempt_id, d.reason) for d in told.left_out] == [
        ("w0", "a station is scored twice")
    ]
    assert [s.total for s in told.sittings] == [24]
    told = score_history(in_memory({"scores": score_rows([23, 24], None, 12)}), "ana1", RULES)
    assert told.left_out[0].reason == "8 of 9 stations"


def test_nothing_played_gives_no_history() -> None:
    told = score_history(in_memory({}), "ana1", RULES)
    assert (told.sittings, told.target_chance, told.stations) == ((), None, None)
