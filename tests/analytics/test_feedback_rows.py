"""From rows to answers: windows, aimed balls, mishits, triples and where each number came from."""

from datetime import UTC, datetime

import numpy as np
import pytest

from analytics.brackets import brackets
from analytics.db import ask, in_memory
from analytics.errors import BadQuestion
from analytics.feedback import feedback
from analytics.landings import landings
from analytics.practice_rows import Window, player_practice
from analytics.row_columns import flags, numbers, words
from analytics.tempos import tempos
from demo_data.cast import player
from demo_data.session import simulate
from tests.analytics.demo_tables import demo_connection, table

TOBIAS = player("Tobias")
SEED = 34
NOON = datetime(2026, 5, 1, 12, tzinfo=UTC)


@pytest.fixture(scope="module")
def two_weeks():
    connection = demo_connection(TOBIAS, SEED, weeks=2)
    yield connection
    connection.close()


@pytest.fixture(scope="module")
def read(two_weeks):
    return player_practice(two_weeks, TOBIAS.player_id)


def test_only_the_balls_of_the_days_main_kind_count_as_aimed_at_the_window(read):
    assert read.balls.num_rows == 96
    assert int(read.aimed.sum()) == 72
    assert set(words(read.balls, "swing_length")[read.aimed]) == {"hip"}


def test_most_mishits_are_found_by_the_rule_and_few_others(read):
    """About 6 ft short at the same club speed; two sessions hold a handful."""
    marked = flags(read.balls, "mishit")
    week, ball = np.divmod(np.arange(96), 48)
    truth = [shot.mishit for number in range(2) for shot in simulate(TOBIAS, number, SEED).shots]
    assert np.array_equal(numbers(read.balls, "ball"), ball + 1)
    assert sum(marked[i] for i in range(96) if truth[i]) >= 0.6 * sum(truth)
    assert sum(marked[i] for i in range(96) if not truth[i]) <= 3
    assert set(week) == {0, 1}


def test_a_coachs_word_outranks_the_rule():
    shots = [
        {
            "player_id": "p1", "event_id": f"e{i}", "import_id": "i", "source_line": i + 2,
            "content_id": "c", "occurrence": 0, "club": "SW", "swing_length": "hip",
            "club_speed_mps": 8.0, "carry_m": 7.0 + 0.05 * (i % 5), "device_number": i,
        }
        for i in range(12)
    ]  # fmt: skip
    shots[3]["carry_m"] = 3.0
    edits = [
        {"player_id": "p1", "edit_id": "a", "target": "shots", "target_id": "e3",
         "action": "clean", "edited_by": "c", "import_id": "j", "edited_at_utc": NOON},
        {"player_id": "p1", "edit_id": "b", "target": "shots", "target_id": "e5",
         "action": "mishit", "edited_by": "c", "import_id": "j", "edited_at_utc": NOON},
    ]  # fmt: skip
    plain = in_memory({"shots": table("shots", shots)})
    said = in_memory({"shots": table("shots", shots), "edits": table("edits", edits)})
    found = [
        {b["event_id"] for b in player_practice(c, "p1").balls.to_pylist() if b["mishit"]}
        for c in (plain, said)
    ]
    assert found == [{"e3"}, {"e5"}]


def test_every_triple_names_its_rows_and_lines(read):
    triple = read.triples[0]
    assert triple.shot.table == "shots"
    assert {row.table for row in triple.rows[1:]} == {"swings"}
    swings = ask_swings(read)
    for row in triple.rows[1:]:
        assert swings[row.event_id] == (row.import_id, row.source_line)


def ask_swings(read):
    rows = read.swings.to_pylist()
    return {row["event_id"]: (row["import_id"], row["source_line"]) for row in rows}


def test_predicted_rehearsals_lie_around_the_true_ones(read):
    """Long about 14 ft above short, a rehearsal 4 % too fast, before any correction."""
    triples = read.practice.triples
    width = np.nanmean(np.exp(triples.long_ln) - np.exp(triples.short_ln))
    assert width == pytest.approx(13.6 * 0.3048 * 1.04**1.95, rel=0.1)


def test_without_a_window_one_is_assumed_around_the_middle_ball_and_says_so():
    connection = demo_connection(TOBIAS, SEED, weeks=1, with_window=False)
    found = feedback(connection, TOBIAS.player_id)
    session = found.read.sessions[0]
    assert not session.window_given
    assert session.far_m - session.near_m == pytest.approx(2 * 0.3048)
    assert landings(found).latest.window_given is False
    assert landings(found).landing_error_m.value is None


def test_a_window_given_overrules(two_weeks):
    found = feedback(two_weeks, TOBIAS.player_id, Window(6.0, 9.0))
    assert {(s.near_m, s.far_m, s.window_given) for s in found.read.sessions} == {(6.0, 9.0, True)}


def test_an_unknown_focus_is_refused_with_the_known_ones(two_weeks):
    with pytest.raises(BadQuestion, match="tempo_drift"):
        feedback(two_weeks, TOBIAS.player_id, declared="luck")


def test_after_two_weeks_levels_are_told_and_changes_are_too_early(two_weeks):
    found = feedback(two_weeks, TOBIAS.player_id)
    assert {f.answer.state for f in found.findings} == {"too_early"}
    shown = brackets(found)
    assert shown.width_word == "wide"
    assert shown.days[-1].width_m.state in {"clear", "leaning"}
    assert shown.last == shown.triples[-1]
    assert 0 <= shown.days[-1].window_held.value <= 1


def test_tempo_is_shown_no_finer_than_its_sampling(two_weeks):
    shown = tempos(feedback(two_weeks, TOBIAS.player_id))
    assert shown.sampling_step_s == 0.01
    assert shown.decimals == 1
    assert shown.ratio.low < 2.9 < shown.ratio.high
    assert shown.set_of_balls is None


def test_landing_shares_stand_beside_the_best_the_spread_allows(two_weeks):
    shown = landings(feedback(two_weeks, TOBIAS.player_id))
    assert shown.latest.best.low <= shown.latest.best.value <= shown.latest.best.high
    assert shown.gate.given
    assert shown.gate.angle_deg == pytest.approx(2.876, abs=0.001)
    assert sum(shown.miss.shares.values()) == pytest.approx(1.0)
    assert shown.half_within_m < shown.most_within_m
    assert shown.lies == ()


def test_a_player_without_anything_gets_empty_answers_not_errors():
    connection = in_memory({})
    found = feedback(connection, "nobody1")
    assert brackets(found).last is None
    assert brackets(found).width_word == "open"
    assert tempos(found).ratio.value is None
    assert landings(found).latest is None
    assert landings(found).mishit_share.need == "0 of 20 shots, 0 of 1 days"


def test_a_sensor_alone_gives_tempo_without_roles():
    swings = [
        {
            "player_id": "p1", "event_id": f"s{i}", "import_id": "i", "source_line": i + 2,
            "content_id": "c", "occurrence": 0, "backswing_s": 0.7 + 0.001 * (i % 7),
            "downswing_s": 0.35, "peak_speed_mps": 8.0,
        }
        for i in range(20)
    ]  # fmt: skip
    connection = in_memory({"swings": table("swings", swings)})
    parameters = {"player_id": "p1", "least_probability": 0.5}
    assert set(ask(connection, "tempos", parameters)["role"].to_pylist()) == {"unknown"}
    assert tempos(feedback(connection, "p1")).ratio.value == pytest.approx(2.0, abs=0.02)
