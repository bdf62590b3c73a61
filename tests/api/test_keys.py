"""Keys: scopes, names, coaches, consent, end and revocation."""

from datetime import UTC, datetime, timedelta

import pytest

from api.keys import Callers, create_key, revoke_key
from api.service_state import ServiceState

PROFILES = ["read:profiles"]


@pytest.fixture
def key(store):
    """Makes keys the way the command line does: in another connection to the file."""
    state = ServiceState(store)

    def make(scopes=PROFILES, **options):
        return create_key(state, "test", scopes, **options)

    yield make
    state.close()


def ids(answer):
    return [item["player_id"] for item in answer.json()["items"]]


def test_a_key_is_kept_as_a_hash_only(key, store):
    _, secret = key()
    kept = b"".join(path.read_bytes() for path in store.glob("service.sqlite*"))
    assert secret.encode() not in kept
    assert len(secret) > 40


def test_a_key_sees_players_from_anywhere_but_no_junior_without_consent(client, key):
    _, secret = key()
    far = client.as_(secret, address="192.0.2.7")
    assert ids(far.get("/v1/players")) == ["pada1", "pben2", "pcleo3"]
    assert far.get("/v1/players/pdan4").status_code == 404


def test_a_coachs_players_do_not_exist_for_another(client, key):
    _, secret = key(coach="mora")
    assert ids(client.as_(secret).get("/v1/players")) == ["pben2"]
    foreign = client.as_(secret).get("/v1/players/pada1")
    unknown = client.as_(secret).get("/v1/players/pzzzz9")
    assert foreign.status_code == unknown.status_code == 404
    assert foreign.json() == unknown.json()


def test_a_key_may_be_limited_to_names(client, key):
    _, secret = key(players=["pada1"])
    assert ids(client.as_(secret).get("/v1/players")) == ["pada1"]


def test_a_scope_that_is_missing_is_403(client, key):
    _, secret = key()
    answer = client.as_(secret).get("/v1/players/pada1/shots")
    assert answer.status_code == 403
    assert answer.json()["code"] == "scope_missing"


def test_revocation_elsewhere_counts_at_once(client, key, store):
    record, secret = key()
    assert client.as_(secret).get("/v1/players").status_code == 200
    elsewhere = ServiceState(store)
    revoke_key(elsewhere, record.key_id)
    elsewhere.close()
    assert client.as_(secret).get("/v1/players").status_code == 401


def test_an_ended_key_is_no_key(client, key):
    _, secret = key(expires_at=datetime.now(UTC) - timedelta(seconds=1))
    assert client.as_(secret).get("/v1/players").status_code == 401


def test_what_an_ended_key_made_has_ended_too(store, key):
    record, _ = key(expires_at=datetime.now(UTC) - timedelta(seconds=1))
    standing, _ = key()
    callers = Callers(ServiceState(store))
    callers.refresh()
    assert callers.by_id(record.key_id) is None
    assert callers.by_id(standing.key_id) == standing.caller()
    callers.close()


def test_a_key_makes_no_stronger_key(client, key):
    _, secret = key(scopes=["manage"], players=["pada1"])
    limited = client.as_(secret)
    stronger = limited.post("/v1/keys", json={"name": "x", "scopes": ["read:rows"]})
    assert stronger.status_code == 403
    foreign = {"name": "x", "scopes": ["manage"], "players": ["pben2"]}
    assert limited.post("/v1/keys", json=foreign).status_code == 404
    same = limited.post("/v1/keys", json={"name": "x", "scopes": ["manage"]})
    assert same.json()["players"] == ["pada1"]


def test_a_key_is_shown_once_and_deleting_ends_it(client):
    made = client.post("/v1/keys", json={"name": "diary", "scopes": PROFILES})
    assert made.status_code == 201
    secret, place = made.json()["key"], made.headers["location"]
    assert "key" not in client.get(place).json()
    assert client.as_(secret).get("/v1/players").status_code == 200
    assert client.delete(place).status_code == 204
    assert client.as_(secret).get("/v1/players").status_code == 401
    assert client.delete(place).status_code == 404


def test_every_read_by_an_app_is_logged(client, key):
    record, secret = key(scopes=["read:profiles", "read:rows"])
    client.as_(secret).get("/v1/players/pada1")
    client.get("/v1/players/pada1")
    log = client.get("/v1/reads").json()["items"]
    assert [(r["key_id"], r["player_id"], r["route"]) for r in log] == [
        (record.key_id, "pada1", "player")
    ]


def test_lists_that_name_players_are_logged_for_each_of_them(client, key):
    record, secret = key(scopes=["read:profiles", "read:rows"], players=["pada1", "pben2"])
    app = client.as_(secret)
    assert ids(app.get("/v1/players")) == ["pada1", "pben2"]
    assert app.get("/v1/players?limit=1&after=pada1").status_code == 200
    assert app.get("/v1/imports?player_id=pben2").status_code == 200
    assert app.get("/v1/imports?player_id=pcleo3").status_code == 404
    log = client.get("/v1/reads").json()["items"]
    assert {read["key_id"] for read in log} == {record.key_id}
    assert [(read["player_id"], read["route"]) for read in log] == [
        ("pada1", "players"),
        ("pben2", "players"),
        ("pben2", "players"),
        ("pben2", "imports"),
    ]


def test_the_same_key_request_is_not_done_twice(client):
    body = {"name": "diary", "scopes": PROFILES}
    first = client.post("/v1/keys", json=body, headers={"Idempotency-Key": "one"})
    again = client.post("/v1/keys", json=body, headers={"Idempotency-Key": "one"})
    assert first.status_code == 201
    assert again.status_code == 409
    assert again.json()["code"] == "reply_not_kept"
    other = client.post("/v1/keys", json=body | {"name": "y"}, headers={"Idempotency-Key": "one"})
    assert other.json()["code"] == "key_used_otherwise"


def test_a_share_link_shows_its_report_and_nothing_else(client, key):
    made = client.post("/v1/share-links", json={"player_id": "pada1", "report": "profile"})
    address = made.json()["address"]
    far = client.as_(None, address="192.0.2.7")
    assert far.get("/v1/shared/" + "A" * 43).status_code == 404
    assert far.get("/v1/players/pada1").status_code == 401
    client.delete(made.headers["location"])
    assert far.get(address).status_code == 404


def test_a_junior_without_consent_gets_no_share_link_from_an_app(client, key):
    _, secret = key(scopes=["manage"])
    wanted = {"player_id": "pdan4", "report": "profile"}
    assert client.as_(secret).post("/v1/share-links", json=wanted).status_code == 404


def test_another_site_may_not_write(client):
    body = {"name": "x", "scopes": PROFILES}
    crossed = client.post("/v1/keys", json=body, headers={"Origin": "https://evil.example"})
    assert crossed.status_code == 403


def test_a_look_at_a_job_and_at_the_feed_is_logged_too(client, key):
    body = b"Shot,Local time,Club,Carry (m)\n1,2026-05-04 17:30:00,SW,7.0\n"
    sent = client.post(
        "/v1/imports?player_id=pada1&name=a.csv",
        content=body,
        headers={"Content-Type": "text/csv"},
    ).json()
    _, secret = key(scopes=["read:profiles", "import"], players=["pada1"])
    app = client.as_(secret)
    assert app.get(f"/v1/jobs/{sent['job_id']}").status_code == 200
    assert app.get("/v1/changes").status_code == 200
    seen = {(one["player_id"], one["route"]) for one in client.get("/v1/reads").json()["items"]}
    assert {("pada1", "jobs/job_id"), ("pada1", "changes")} <= seen


def test_pages_of_the_whole_book_read_by_an_app_are_logged(client, key):
    record, secret = key(
        scopes=["read:profiles", "read:rows", "import"], players=["pada1", "pben2"]
    )
    app = client.as_(secret)
    pages = ("/players", "/doubts", "/imports")
    for page in (*pages, *pages):  # kept pages are read like any other
        assert app.get(page).status_code == 200
    assert app.get("/players?find=ada").status_code == 200
    assert app.get("/more").status_code == 200
    read = [(one["player_id"], one["route"]) for one in client.get("/v1/reads").json()["items"]]
    listed = [(player, page[1:]) for page in pages for player in ("pada1", "pben2")]
    assert read == [*listed, *listed, ("pada1", "players")]
    assert record.key_id
