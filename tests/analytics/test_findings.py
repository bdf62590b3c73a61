"""The session report: one list, planted effects named, noise not, hands mirrored."""

from dataclasses import replace

import numpy as np
import pytest

from analytics.findings import TILES, session_report
from analytics.focus import KEEP_ON, TRAINED, choose_focus, ranked
from analytics.stakes import usual_spread_m
from tests.bench.feedback_players import Plant, simulate


def report(plant: Plant, seed: int = 1, declared: str | None = None):
    practice = simulate(np.random.default_rng(seed), plant).practice
    return {finding.key: finding for finding in session_report(practice, declared)}


def test_every_tile_is_in_every_report():
    assert list(report(Plant())) == [tile.key for tile in TILES]
    assert set(TRAINED) <= {tile.key for tile in TILES}


def test_a_player_without_effects_has_none_found():
    assert {f.verdict for f in report(Plant()).values()} <= {"no_effect", "open", "hint"}


def test_narrowing_is_clear_while_the_landing_spread_is_not():
    found = report(Plant(width_ft=(14.0, 8.0), spread_ft=(3.0, 2.3)))
    width, spread = found["bracket_width"].answer, found["landing_spread"].answer
    assert width.state == "clear"
    assert width.low < -6 * 0.3048 < width.high
    assert spread.state == "leaning"
    assert spread.low < -0.7 * 0.3048 < spread.high


def test_a_falling_tempo_is_clear_after_six_sessions():
    found = report(Plant(sessions=6, tempo_ratio=2.2, tempo_fall=0.3))["tempo_drift"]
    assert found.answer.state == "clear"
    assert found.answer.low < -0.3 < found.answer.high


def test_before_six_sessions_nothing_is_more_than_too_early():
    found = report(Plant(sessions=5, tempo_fall=0.6, push_deg=-4, width_ft=(20, 8)))
    assert {f.answer.state for f in found.values()} == {"too_early"}
    assert found["tempo_drift"].answer.need == "5 of 6 days"


def test_a_mirrored_player_gets_the_same_words_and_numbers():
    practice = simulate(np.random.default_rng(3), Plant(push_deg=-2)).practice
    mirrored = replace(
        practice,
        hand="left",
        shots=replace(practice.shots, start_right_deg=-practice.shots.start_right_deg),
    )
    right, left = ({f.key: f for f in session_report(p)} for p in (practice, mirrored))
    assert right["start_side"].answer == left["start_side"].answer
    assert right["start_side"].answer.value == pytest.approx(-2.0, abs=0.5)


def test_a_declared_focus_changes_only_how_it_is_tested():
    practice = simulate(np.random.default_rng(4), Plant(tempo_fall=0.2)).practice
    plain, declared = session_report(practice), session_report(practice, "tempo_drift")
    assert [f.answer.value for f in plain] == [f.answer.value for f in declared]


def test_the_focus_is_what_costs_most_of_what_was_found():
    found = report(Plant(push_deg=-4.0, tempo_fall=0.3))
    assert choose_focus(list(found.values())).key == "start_side"
    assert choose_focus(list(reversed(found.values()))).key == "start_side"


def test_without_a_find_the_focus_is_to_keep_on():
    findings = list(report(Plant()).values())
    assert choose_focus(findings) == KEEP_ON
    assert all(candidate.certainty < 1 for candidate in ranked(findings))


def test_a_player_without_brackets_or_tempo_still_gets_a_report():
    practice = simulate(np.random.default_rng(5)).practice
    nothing = np.full(practice.triples.session.size, np.nan)
    bare = replace(
        practice, triples=replace(practice.triples, long_ln=nothing, strike_ln=nothing),
        tempo=replace(practice.tempo, backswing_s=np.full(practice.tempo.ball.size, np.nan)),
    )  # fmt: skip
    found = {f.key: f for f in session_report(bare)}
    assert found["bracket_width"].answer.value is None
    assert found["tempo_drift"].answer.state == "too_early"
    assert found["landing_centre"].answer.value is not None


def test_spread_is_of_clean_strikes():
    practice = simulate(np.random.default_rng(6)).practice
    clean = practice.shots.error_m[~practice.shots.mishit]
    assert usual_spread_m(practice.shots) == pytest.approx(np.std(clean))
