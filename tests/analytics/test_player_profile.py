"""A profile holds curves, brackets, tempo and landings, one clear and one open thing."""

import pytest

from analytics.cautions import BallLimits, ball_cautions, standing_cautions, usual_limits
from analytics.db import in_memory
from analytics.evidence import evidence
from analytics.feedback import feedback
from analytics.findings import TILES
from analytics.player_profile import player_profile
from demo_data.cast import FOOT_M, SEED, player
from tests.analytics.demo_tables import demo_connection


@pytest.fixture(scope="module")
def tobias():
    one = player("Tobias")
    connection = demo_connection(one, SEED)
    return player_profile(connection, one.player_id)


def test_the_clear_thing_and_the_open_thing_of_the_first_player(tobias):
    assert tobias.clear.key == "bracket_width"
    assert tobias.open.key == "landing_spread"


def test_counts_and_parts(tobias):
    assert (tobias.n_shots, tobias.n_sessions, tobias.balls_last_day) == (384, 8, 48)
    assert {curve.club for curve in tobias.curves} == {"SW", "PW", "9I"}
    assert len(tobias.brackets.days) == len(tobias.landing.days) == 8


def test_the_speed_card_agrees_with_the_curve_read_backwards(tobias):
    card = tobias.card
    curve = next(c for c in tobias.curves if c.club == card.club)
    assert card.target_m == pytest.approx(24 * FOOT_M, abs=0.01)
    for swing in (card.long, card.short, card.shot):
        assert swing.speed_mps == curve.speed_for(swing.carry_m)
    assert card.long.speed_mps.value > card.shot.speed_mps.value > card.short.speed_mps.value
    faster = card.long.rehearsal_speed_mps / card.long.speed_mps.value
    assert faster == pytest.approx(1.04, abs=0.012)
    assert card.from_own_repeatability


@pytest.mark.parametrize("tile", TILES, ids=lambda tile: tile.key)
def test_every_number_opens_to_its_rows(tobias, tile):
    rows = evidence(tobias.feedback, tile.key)
    assert len(set(rows)) == len(rows)
    assert len(rows) >= tobias.feedback.of(tile.key).answer.n_shots
    assert all(row.source_line > 0 and row.import_id for row in rows)


def test_mishits_are_behind_the_mishit_share_alone(tobias):
    with_them = evidence(tobias.feedback, "mishit_share")
    without = evidence(tobias.feedback, "landing_spread")
    assert len(with_them) > len(without)
    assert set(without) < set(with_them)


def test_a_player_nobody_knows_gets_an_empty_profile():
    empty = player_profile(in_memory({}), "nobody1")
    assert (empty.n_shots, empty.curves, empty.card, empty.clear) == (0, (), None, None)
    assert feedback(in_memory({}), "nobody1").focus.key == "too_early"


def test_cautions_stand_for_everyone_and_one_more_for_juniors():
    assert standing_cautions("adult") == ("clear_space", "load")
    assert standing_cautions("junior")[-1] == "junior"


def test_ball_counts_call_for_rest_and_an_end():
    limits = BallLimits(cap=60, rest_every=15)
    assert ball_cautions(14, limits) == ()
    assert ball_cautions(15, limits) == ("rest_now",)
    assert ball_cautions(52, limits) == ("cap_near",)
    assert ball_cautions(60, limits) == ("cap_reached",)
    assert usual_limits("junior").cap < usual_limits("adult").cap
