"""The demo taken in and paired by the product itself: the story comes out as planted."""

import pytest
from click.testing import CliRunner

from analytics.db import open_store
from analytics.feedback import feedback
from analytics.tempos import tempos
from api.cli import cli
from demo_data.cast import PLAYERS, player
from tests.analytics.demo_story import story_faults


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    folder = tmp_path_factory.mktemp("story") / "store"
    result = CliRunner().invoke(cli, ["demo", "--store", str(folder)], catch_exceptions=False)
    assert result.exit_code in {0, 1}, result.output
    return folder


def found_for(store, one):
    connection = open_store(store, one.player_id)
    found = feedback(connection, one.player_id)
    connection.close()
    return found


@pytest.mark.slow
@pytest.mark.parametrize("one", PLAYERS, ids=lambda one: one.name)
def test_each_planted_truth_is_covered_and_no_decoy_called(store, one):
    assert list(story_faults(one, found_for(store, one))) == []


@pytest.mark.slow
def test_what_to_do_next_follows_from_the_story(store):
    wilma, arne = player("Wilma"), player("Arne")
    assert tempos(found_for(store, wilma)).set_of_balls == 15
    assert found_for(store, arne).focus.key == "start_side"
