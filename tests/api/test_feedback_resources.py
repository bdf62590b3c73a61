"""Brackets, tempo, landing, profile and the rows behind findings over HTTP."""

import pytest

from api.app import make_app
from api.settings import Settings
from tests.api.client import client_of
from tests.api.demo_store import demo_store

ARNE = "/v1/players/t9bx26"


@pytest.fixture(scope="module")
def played(tmp_path_factory):
    store = demo_store(tmp_path_factory.mktemp("resources"), ("Arne",))
    with client_of(make_app(Settings(store))) as client:
        yield client


def test_brackets(played):
    body = played.get(f"{ARNE}/brackets?triples=3").json()
    assert len(body["triples"]) == 3
    assert body["last"] == body["triples"][-1]
    assert len(body["days"]) == 8
    day = body["days"][-1]
    assert 0 <= day["window_held"]["value"] <= 1
    assert day["window_given"] is True
    assert [f["key"] for f in body["process"]][:2] == ["bracket_width", "bracket_held"]


def test_no_triples_may_be_asked_for(played):
    body = played.get(f"{ARNE}/brackets?triples=0").json()
    assert body["triples"] == []
    assert body["last"] is not None


def test_tempo(played):
    body = played.get(f"{ARNE}/tempo").json()
    assert body["ratio"]["low"] < 3.1 < body["ratio"]["high"]
    assert body["set_of_balls"] is None
    assert {link["kind"] for link in body["links"]} == {"link"}


def test_landing_for_a_left_hander(played):
    body = played.get(f"{ARNE}/landing").json()
    assert body["hand"] == "left"
    assert body["start_right_deg"]["value"] == pytest.approx(-body["push_deg"]["value"])
    assert body["push_deg"]["value"] < -1.5
    miss = body["miss"]
    assert sum(miss[part] for part in ("aim", "start", "carry", "run")) == pytest.approx(1)
    side = next(f for f in body["findings"] if f["key"] == "start_side")
    assert "pull" in side["sentence"]
    assert side["verdict"] == "effect"


def test_profile(played):
    body = played.get(f"{ARNE}/profile").json()
    assert body["clear"]["key"] == body["focus"]["key"] == "start_side"
    assert body["card"]["shot"]["speed"]["unit"] == "m/s"
    assert {"clear_space", "load"} <= set(body["cautions"])
    assert {curve["club"] for curve in body["curves"]} == {"SW", "PW", "9I"}


def test_a_declared_focus_that_is_not_looked_at_is_refused(played):
    answer = played.get(f"{ARNE}/profile?declared=luck")
    assert answer.status_code == 422
    assert "tempo_drift" in answer.json()["detail"]


def test_a_finding_opens_to_its_rows(played):
    body = played.get(f"{ARNE}/findings/tempo_drift/rows").json()
    assert len(body["rows"]) > 700
    assert {row["table"] for row in body["rows"]} == {"swings"}
    assert body["rows"][0]["source_name"].endswith("_tempo.csv")
    assert played.get(f"{ARNE}/findings/luck/rows").status_code == 404


@pytest.mark.parametrize("resource", ["brackets", "tempo", "landing", "profile"])
def test_a_player_without_rows_gets_an_answer_that_says_so(client, resource):
    body = client.get(f"/v1/players/pben2/{resource}").json()
    assert body["player_id"] == "pben2"
