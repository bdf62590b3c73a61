"""One session from several files: halves, a sensor off midway, undo; where each pair is from."""

import numpy as np
import pytest

from analytics.db import open_store
from analytics.pairing import PAIRING_VERSION
from api.pair_player import pair_player
from api.take_back import bring_back, take_back
from ingest.players import Player, save_player
from tests.api.session_rows import enter_session
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import make_session

TOBIAS = Player("q3fk82", "Tobias", zone="Europe/Berlin")


@pytest.fixture
def plain(tmp_path):
    """A player without rows, and a simulated session."""
    save_player(tmp_path, TOBIAS)
    return tmp_path, make_session(SCENARIOS["plain"], np.random.default_rng(11))


def true_share(store, one):
    """Share of the session's true pairs that the store holds, by device number."""
    made = set(
        rows_of(
            store,
            "SELECT shots.device_number - 1, swings.device_number - 1 FROM pairs "
            "JOIN shots ON shots.event_id = shot_event_id "
            "JOIN swings ON swings.event_id = swing_event_id WHERE role = 'strike'",
        )
    )
    true = set(one.struck.items())
    return len(made & true) / max(len(made), len(true))


def rows_of(store, sql):
    pair_player(store, TOBIAS.player_id)
    with open_store(store, TOBIAS.player_id) as connection:
        return connection.sql(sql).fetchall()


def test_a_session_from_two_launch_files_and_two_sensor_files_is_one(plain):
    store, one = plain
    *launch, first, second = enter_session(store, TOBIAS.player_id, one, parts=2, sensor_parts=2)
    (found,) = pair_player(store, TOBIAS.player_id)
    assert found.verdict == "paired"
    assert true_share(store, one) > 0.95
    assert set(found.import_ids) == {*launch, first, second}
    held = rows_of(
        store,
        "SELECT DISTINCT shot_import_id, swing_import_id, fit_version FROM pairs "
        "WHERE role = 'strike'",
    )
    assert {shot for shot, _, _ in held} == set(launch)
    assert {swing for _, swing, _ in held} == {first, second}
    assert {version for *_, version in held} == {PAIRING_VERSION}


def test_taking_half_a_session_back_pairs_what_is_left_and_bringing_it_back_the_whole(plain):
    store, one = plain
    first, second, _ = enter_session(store, TOBIAS.player_id, one, parts=2)
    whole = rows_of(store, "SELECT * FROM pairs ORDER BY ALL")
    take_back(store, second)
    (left,) = pair_player(store, TOBIAS.player_id)
    assert left.verdict == "paired"
    shots = {row[0] for row in rows_of(store, "SELECT DISTINCT shot_import_id FROM pairs")}
    assert shots - {None} == {first}
    bring_back(store, second)
    assert rows_of(store, "SELECT * FROM pairs ORDER BY ALL") == whole


def test_a_sensor_switched_off_midway_leaves_the_later_balls_alone_and_says_so(tmp_path):
    save_player(tmp_path, TOBIAS)
    one = make_session(SCENARIOS["switched_off"], np.random.default_rng(12))
    enter_session(tmp_path, TOBIAS.player_id, one)
    (found,) = pair_player(tmp_path, TOBIAS.player_id)
    assert found.verdict == "paired"
    assert true_share(tmp_path, one) > 0.95
    assert found.unpaired["outside the swing log"] >= 0.3 * found.n_shots
