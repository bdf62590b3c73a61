"""Corrections over HTTP: recorded with who and why, applied, taken back; sessions follow."""

from datetime import UTC, datetime

import pytest

from analytics.db import open_store
from api.corrections import record
from api.keys import create_key
from api.service_state import ServiceState
from ingest.hand_entry import enter
from ingest.players import load_player

pytestmark = pytest.mark.usefixtures("with_rows")
EDITS = "/v1/players/pada1/edits"


def events(client, n):
    rows = client.get("/v1/players/pada1/shots").json()["items"]
    return [row["event_id"] for row in rows[:n]]


def test_a_correction_is_applied_listed_and_taken_back(client):
    wanted = {"action": "exclude", "event_ids": events(client, 2), "reason": "hit the ground"}
    made = client.post(EDITS, json=wanted)
    assert made.status_code == 201
    assert len(client.get("/v1/players/pada1/shots").json()["items"]) == 23
    listed = client.get(EDITS).json()["items"]
    assert {(e["action"], e["reason"]) for e in listed} == {("exclude", "hit the ground")}
    assert client.post(f"{made.headers['location']}/undo").json()["standing"] is False
    assert len(client.get("/v1/players/pada1/shots").json()["items"]) == 25


def test_rows_move_only_to_a_player_the_caller_may_see(client, store):
    state = ServiceState(store)
    _, key = create_key(state, "t", ["import", "read:rows"], players=["pada1"])
    state.close()
    wanted = {"action": "move_player", "event_ids": events(client, 5)[4:], "value": "pben2"}
    assert client.as_(key).post(EDITS, json=wanted).status_code == 404
    assert client.post(EDITS, json=wanted).status_code == 201
    assert len(client.get("/v1/players/pben2/shots").json()["items"]) == 2


def test_scores_that_move_are_with_one_player_only(store):
    score = {"test": "gate_twenty@1", "attempt_id": "a", "station": 1, "hit": True}
    at = datetime(2026, 5, 4, 17, tzinfo=UTC)
    enter(store, "pada1", "scores", [score | {"scored_at_utc": at, "entry_id": "s1"}])

    def scores_of(player_id):
        with open_store(store, player_id) as connection:
            return connection.table("scores").to_arrow_table()["event_id"].to_pylist()

    moved = scores_of("pada1")
    ada = load_player(store, "pada1")
    record(store, ada, "move_player", moved, by="coach", target="scores", value="pben2")
    assert (len(moved), scores_of("pada1"), len(scores_of("pben2"))) == (1, [], 1)


def test_unknown_rows_and_missing_values_are_refused(client):
    unknown = {"action": "mishit", "event_ids": ["0" * 32]}
    assert client.post(EDITS, json=unknown).json()["code"] == "bad_option"
    bare = {"action": "club", "event_ids": events(client, 1)}
    assert client.post(EDITS, json=bare).json()["code"] == "value_missing"


def test_balls_off_another_surface_leave_the_curve(client):
    counted = "/v1/players/pada1/carry-ladder"
    assert client.get(counted).json()["rungs"][0]["centre"]["n_shots"] == 25
    said = {"action": "surface", "event_ids": events(client, 20), "value": "Range mat"}
    assert client.post(EDITS, json=said).status_code == 201
    assert client.get(counted).json()["rungs"][0]["centre"]["n_shots"] == 25
    said |= {"event_ids": events(client, 25)[20:], "value": "grass"}
    assert client.post(EDITS, json=said).status_code == 201
    assert client.get(counted).json()["rungs"][0]["centre"]["n_shots"] == 5
    rows = client.get("/v1/players/pada1/shots").json()["items"]
    assert [row["surface"] for row in rows] == ["mat"] * 20 + ["grass"] * 5
    bare = {"action": "surface", "event_ids": events(client, 1)}
    assert client.post(EDITS, json=bare).json()["code"] == "value_missing"


def test_sessions_count_balls_by_day(client):
    sessions = client.get("/v1/players/pada1/sessions").json()["sessions"]
    assert [(s["day"], s["n_shots"], s["clubs"]) for s in sessions] == [("2026-05-04", 25, ["SW"])]
