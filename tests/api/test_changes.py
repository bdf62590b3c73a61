"""The feed of changes: whoever made them, nothing missed, nothing told to a stranger."""

import pytest

from api.keys import create_key
from api.service_state import ServiceState
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from ingest.store import undo
from tests.api.conftest import shot_rows


@pytest.fixture
def key(store):
    state = ServiceState(store)
    yield lambda **options: create_key(state, "t", ["read:profiles", "manage"], **options)[1]
    state.close()


def told(client, since=0):
    body = client.get(f"/v1/changes?since={since}").json()
    return [(c["type"], c["player_id"]) for c in body["items"]], body["cursor"]


def test_imports_of_any_process_are_told_once(client, store):
    _, cursor = told(client)
    made = enter(store, "pada1", "shots", shot_rows(2))
    changes, after = told(client, cursor)
    assert changes == [("import.finished", "pada1"), ("profile.changed", "pada1")]
    assert told(client, after) == ([], after)
    undo(store, "pada1", made.import_id)
    assert told(client, after)[0] == [("import.undone", "pada1"), ("profile.changed", "pada1")]


def test_an_erased_player_is_told_to_those_who_knew_them(client, key):
    named, stranger = client.as_(key(players=["pada1"])), client.as_(key(players=["pben2"]))
    _, cursor = told(named)
    assert client.delete("/v1/players/pada1").status_code == 204
    assert told(named, cursor)[0] == [("player.erased", "pada1")]
    assert told(stranger, cursor)[0] == []
    assert named.get("/v1/players/pada1").status_code == 404


def test_consent_withdrawn_is_told_and_hides_the_junior(client, key, store):
    app = client.as_(key())
    _, cursor = told(app)
    assert app.get("/v1/players/pcleo3").status_code == 200
    save_player(store, Player("pcleo3", "Cleo", age_band="junior", guardian_consent=False))
    assert app.get("/v1/players/pcleo3").status_code == 404
    assert told(app, cursor)[0] == [("player.withdrawn", "pcleo3")]


def test_a_cursor_from_nowhere_is_refused(client):
    answer = client.get("/v1/changes?since=999999")
    assert answer.status_code == 404
    assert "since=0" in answer.json()["mend"]


def test_pages_of_changes_meet(client):
    first = client.get("/v1/changes?since=0&limit=3")
    address = first.headers["link"].partition("<")[2].partition(">")[0]
    seen = [change["seq"] for change in first.json()["items"]]
    seen += [change["seq"] for change in client.get(address).json()["items"]]
    assert seen == sorted(set(seen))


def test_erasing_leaves_nothing_in_the_services_file(client, store, key):
    app = client.as_(key(players=["pada1", "pben2"]))
    app.get("/v1/players/pada1")
    client.post("/v1/share-links", json={"player_id": "pada1", "report": "profile"})
    client.delete("/v1/players/pada1")
    state = ServiceState(store)
    for table in ("share_links", "jobs", "reads", "replies", "known_players"):
        rows = state.rows(f"SELECT * FROM {table}")
        assert not [row for row in rows if "pada1" in str(tuple(row))]
    assert "pada1" not in str([tuple(row) for row in state.rows("SELECT * FROM keys")])
    state.close()
