"""What a person settles about a pairing over HTTP: offset, pair, no pair, role; each taken back."""

import numpy as np
import pytest

from analytics.db import open_store
from api.app import make_app
from api.keys import create_key
from api.pair_player import pair_player
from api.service_state import ServiceState
from api.settings import Settings
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from tests.api.client import client_of
from tests.api.session_rows import enter_session
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import make_session

ADA = "pada1"
PAIRS = f"/v1/players/{ADA}/pairs"


@pytest.fixture
def even(tmp_path):
    """A store with a session on a beat of whole seconds: several offsets fit."""
    save_player(tmp_path, Player(ADA, "Ada"))
    one = make_session(SCENARIOS["metronome_1s"], np.random.default_rng(3))
    enter_session(tmp_path, ADA, one)
    return tmp_path, one


@pytest.fixture
def plain(tmp_path):
    """A store with a session that pairs by itself."""
    save_player(tmp_path, Player(ADA, "Ada"))
    one = make_session(SCENARIOS["shots_12"], np.random.default_rng(5))
    enter_session(tmp_path, ADA, one)
    return tmp_path


def rows(store, sql):
    with open_store(store, ADA) as connection:
        return connection.sql(sql).fetchall()


def strikes(store):
    sql = "SELECT shot_event_id, swing_event_id FROM pairs WHERE role = 'strike' ORDER BY ALL"
    return rows(store, sql)


def test_choosing_an_offset_settles_an_even_rhythm_and_undo_opens_it_again(even):
    store, one = even
    with client_of(make_app(Settings(store))) as client:
        (session,) = client.get(PAIRS).json()["sessions"]
        assert session["verdict"] == "ambiguous"
        assert len(session["rival_offsets_s"]) >= 2
        true = np.median(
            [one.swings.times_s[k] - one.launch.times_s[j] for j, k in one.struck.items()]
        )
        chosen = min(session["rival_offsets_s"], key=lambda offset: abs(offset - true))
        wanted = {"session_id": session["session_id"], "offset_s": chosen}
        key = {"Idempotency-Key": "choose-0001"}
        made = client.post(f"{PAIRS}/offset", json=wanted, headers=key)
        assert made.status_code == 201
        assert client.post(f"{PAIRS}/offset", json=wanted, headers=key).json() == made.json()
        (settled,) = made.json()["sessions"]
        assert settled["verdict"] == "paired"
        assert settled["n_pairs"] >= 0.95 * len(one.struck)
        assert client.get(PAIRS).json()["sessions"] == [settled]
        client.post(f"{made.headers['location']}/undo")
        assert client.get(PAIRS).json()["sessions"][0]["verdict"] == "ambiguous"


def test_a_pair_parted_and_pinned_again(plain):
    store = plain
    with client_of(make_app(Settings(store))) as client:
        client.get(PAIRS)
        shot, swing = strikes(store)[4]
        pair = {"shot_event_id": shot, "swing_event_id": swing}
        assert client.post(f"{PAIRS}/forbids", json=pair).status_code == 201
        assert (shot, swing) not in strikes(store)
        made = client.post(f"{PAIRS}/pins", json=pair).json()
        assert (shot, swing) in strikes(store)
        assert made["sessions"][0]["n_pairs"] == len(strikes(store))


def test_a_role_said_by_a_coach_stands_and_is_taken_back(plain):
    store = plain
    with client_of(make_app(Settings(store))) as client:
        client.get(PAIRS)
        shot, swing = strikes(store)[6]
        said = {"swing_event_id": swing, "role": "rehearse_long", "shot_event_id": shot}
        made = client.post(f"{PAIRS}/roles", json=said)
        assert made.status_code == 201
        of_swing = f"FROM pairs WHERE swing_event_id = '{swing}'"
        found = rows(store, f"SELECT role, shot_event_id, probability {of_swing}")
        assert found == [("rehearse_long", shot, 1.0)]
        assert client.post(f"{PAIRS}/roles", json=said | {"role": "other"}).status_code == 201
        assert rows(store, f"SELECT role, why {of_swing}") == [("other", "other: set by hand")]
        pair = {"shot_event_id": shot, "swing_event_id": swing}
        assert client.post(f"{PAIRS}/pins", json=pair).status_code == 201
        assert (shot, swing) in strikes(store)


def test_rows_and_sessions_of_nobody_are_not_found(plain):
    nobody = {"shot_event_id": "0" * 32, "swing_event_id": "1" * 32}
    with client_of(make_app(Settings(plain))) as client:
        for path, body in (
            ("pins", nobody),
            ("forbids", nobody),
            ("roles", {"swing_event_id": "1" * 32, "role": "other"}),
            ("offset", {"session_id": f"{ADA}:1999-01-01", "offset_s": 3}),
        ):
            answer = client.post(f"{PAIRS}/{path}", json=body)
            assert (answer.status_code, answer.json()["code"]) == (404, "no_such_row")


def test_settling_needs_the_right_to_bring_in(plain):
    state = ServiceState(plain)
    _, key = create_key(state, "reader", ["read:rows"], players=[ADA])
    state.close()
    with client_of(make_app(Settings(plain))) as client:
        answer = client.as_(key).post(f"{PAIRS}/offset", json={"session_id": f"{ADA}:x"})
        assert answer.status_code == 403


def test_a_word_about_a_swing_without_a_time_disturbs_nothing(plain):
    store = plain
    before = pair_player(store, ADA)
    shot = strikes(store)[0][0]
    enter(store, ADA, "swings", [{"device_number": 999, "peak_speed_mps": 8.0}])
    ((stray,),) = rows(store, "SELECT event_id FROM swings WHERE device_number = 999")
    with client_of(make_app(Settings(store))) as client:
        answer = client.post(f"{PAIRS}/pins", json={"shot_event_id": shot, "swing_event_id": stray})
    assert answer.status_code == 404
    assert [one.n_pairs for one in pair_player(store, ADA)] == [one.n_pairs for one in before]
