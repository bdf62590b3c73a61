"""The demo's five players: each planted truth covered, each decoy left alone."""

import pytest

from analytics.feedback import feedback
from analytics.tempos import tempos
from demo_data.cast import PLAYERS, SEED, player
from tests.analytics.demo_story import story_faults
from tests.analytics.demo_tables import demo_connection


@pytest.mark.parametrize("one", PLAYERS, ids=lambda one: one.name)
def test_the_story_comes_out_as_planted(one):
    found = feedback(demo_connection(one, SEED), one.player_id)
    assert list(story_faults(one, found)) == []


def test_the_falling_tempo_becomes_sets_of_fifteen():
    wilma = player("Wilma")
    found = feedback(demo_connection(wilma, SEED), wilma.player_id)
    assert tempos(found).set_of_balls == 15
    assert found.focus.key == "tempo_drift"
