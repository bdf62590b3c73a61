"""What every request meets, whatever its route."""

import pytest

from api.app import make_app
from api.settings import Settings
from ingest.hand_entry import enter
from tests.api.client import client_of
from tests.api.conftest import shot_rows


def test_an_unknown_address_is_a_problem(client):
    answer = client.get("/v1/nothing")
    assert answer.status_code == 404
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.json()["code"] == "not_found"
    assert answer.headers["x-request-id"]


def test_a_wrong_method_names_all_the_right_ones(client):
    answer = client.request("PUT", "/v1/players")
    assert answer.status_code == 405
    assert answer.headers["content-type"] == "application/problem+json"
    assert {"GET", "HEAD", "OPTIONS"} <= set(answer.headers["allow"].split(", "))


def test_head_is_get_without_the_body(client):
    get, head = client.get("/v1/players"), client.request("HEAD", "/v1/players")
    assert head.status_code == 200
    assert head.content == b""
    assert head.headers["content-length"] == get.headers["content-length"]


def test_options_names_the_methods(client):
    answer = client.request("OPTIONS", "/v1/players")
    assert answer.status_code == 204
    assert "GET" in answer.headers["allow"]


def test_a_harmless_request_id_is_kept_and_another_is_not(client):
    kept = client.get("/healthz", headers={"X-Request-Id": "abc-12345"})
    assert kept.headers["x-request-id"] == "abc-12345"
    made = client.get("/healthz", headers={"X-Request-Id": "<script>"})
    assert made.headers["x-request-id"] != "<script>"


def test_an_address_that_is_too_long_is_refused(client):
    assert client.get("/v1/players?after=" + "a" * 9000).status_code == 414


def test_without_a_key_only_this_machine_is_answered(client):
    assert client.get("/v1/players").status_code == 200
    far = client.as_(None, address="192.0.2.7").get("/v1/players")
    assert far.status_code == 401
    assert far.headers["www-authenticate"].startswith("Bearer")


def test_another_host_name_is_not_this_machine(client):
    assert client.get("/v1/players", headers={"Host": "evil.example"}).status_code == 401


def test_a_coding_that_is_refused_is_not_sent(client, store):
    enter(store, "pada1", "shots", shot_rows(25))
    for path in ("/v1/players/pada1/profile", "/v1/players/pada1/shots", "/openapi.json"):
        for _ in range(2):  # the second profile comes from memory
            refused = client.get(path, headers={"Accept-Encoding": "br, gzip;q=0"})
            assert "content-encoding" not in refused.headers, path
        wanted = client.get(path, headers={"Accept-Encoding": "br;q=0, gzip;q=0.5"})
        assert wanted.headers["content-encoding"] == "gzip", path


@pytest.mark.parametrize(
    "name", ["Authorization", "Content-Type", "Idempotency-Key", "Content-Encoding", "If-Match"]
)
def test_a_header_that_can_be_meant_once_is_not_chosen_from(client, name):
    twice = [(name, "a"), (name, "b"), ("Host", "localhost")]
    answer = client.post("/v1/players", content=b"{}", headers=twice)
    assert (answer.status_code, answer.json()["code"]) == (400, "header_repeated")
    assert name.lower() in answer.json()["detail"]


def test_an_idempotency_key_is_what_the_description_says(client):
    odd = {"Idempotency-Key": "clé".encode("latin-1")}
    answer = client.post("/v1/players", json={"display_name": "Ada"}, headers=odd)
    assert (answer.status_code, answer.json()["code"]) == (422, "bad_idempotency_key")


BROWSER = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}


def test_a_person_refused_at_the_gate_gets_a_page_and_an_app_a_document(store):
    with client_of(make_app(Settings(store, requests_per_minute=1))) as client:
        assert client.get("/players", headers=BROWSER).status_code == 200
        page = client.get("/players", headers=BROWSER)
        assert (page.status_code, page.headers["retry-after"] > "0") == (429, True)
        assert page.headers["content-type"].startswith("text/html")
        assert "default-src 'none'" in page.headers["content-security-policy"]
        for path, headers in (("/v1/players", BROWSER), ("/players", {})):
            document = client.get(path, headers=headers)
            assert document.headers["content-type"] == "application/problem+json"
            assert document.json()["code"] == "too_many_requests"


def test_a_form_of_another_site_is_refused_by_a_page(client):
    foreign = BROWSER | {"Origin": "https://evil.example"}
    page = client.post("/players", data={"name": "Eve"}, headers=foreign)
    assert (page.status_code, page.headers["content-type"][:9]) == (403, "text/html")
    assert "may not write here" in page.text


def test_what_nobody_foresaw_is_answered_under_the_request_id(client, monkeypatch, caplog):
    def broken(*_):
        raise ZeroDivisionError

    monkeypatch.setattr("api.routers.players.PlayerBody.of", broken)
    answer = client.quiet().get("/v1/players", headers={"X-Request-Id": "fault-0001"})
    assert (answer.status_code, answer.json()["code"]) == (500, "unexpected")
    assert answer.headers["x-request-id"] == "fault-0001"
    told = [
        record.fields for record in caplog.records if record.exc_info and hasattr(record, "fields")
    ]
    assert told == [{"request_id": "fault-0001"}]
    metrics = client.get("/metrics").text
    assert 'carrybook_requests_total{method="GET",route="/v1/players",status="500"} 1.0' in metrics
