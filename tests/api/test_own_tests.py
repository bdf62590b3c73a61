"""A coach's own scored tests over HTTP: made, listed, changed, scored, read back, refused."""

import json
import time
from datetime import UTC, datetime

import pytest

from api.keys import create_key
from api.service_state import ServiceState
from ingest.hand_entry import enter
from ingest.players import Player, save_player

LADDER = {
    "name": "pitch_ladder",
    "title": "Pitch Ladder",
    "measure": "hits",
    "target": 3,
    "stations": [{"lie": "fringe", "distance_m": 3.0 * n, "club": "SW"} for n in (1, 2, 3, 4)],
    "hit_within_m": 1.5,
}


RULES = {name: value for name, value in LADDER.items() if name != "name"}


def post(client, path, body, status=201, **headers):
    answer = client.post(path, json=body, headers=headers)
    assert answer.status_code == status, answer.text
    return answer.json()


def key_of(store, **limits):
    """The header of a new key."""
    state = ServiceState(store)
    key = create_key(state, "app", ["read:profiles", "import"], **limits)[1]
    state.close()
    return {"authorization": f"Bearer {key}"}


def sitting(test, leaves, attempt):
    balls = [{"station": n, "leave_m": leave} for n, leave in enumerate(leaves, start=1)]
    return {"test": test, "attempt_id": attempt, "at_utc": "2026-05-04T17:30:00Z", "balls": balls}


def test_a_test_is_made_listed_scored_changed_and_its_history_read(client):
    made = post(client, "/v1/tests", LADDER)
    assert (made["test"], made["own"], made["draw"]) == ("pitch_ladder@1", True, 4)
    assert made["play"] == [1, 2, 3, 4]
    listed = client.get("/v1/tests").json()["items"]
    assert {one["test"] for one in listed} >= {"pitch_ladder@1", "nine_station_low_side@1"}

    scores = "/v1/players/pada1/test-scores"
    kept = post(client, scores, sitting("pitch_ladder", [0, 1.5, 1.51, 0.2], "first"))
    assert (kept["total"], kept["complete"]) == (3, True)

    changed = post(client, "/v1/tests/pitch_ladder/versions", RULES | {"target": 4})
    assert changed["test"] == "pitch_ladder@2"
    post(client, scores, sitting("pitch_ladder", [0, 1, 1, 1], "second"))
    told = client.get(scores).json()["tests"]
    assert [(one["test"], one["target"], one["sittings"][0]["total"]) for one in told] == [
        ("pitch_ladder@1", 3, 3),
        ("pitch_ladder@2", 4, 4),
    ]
    old = client.get("/v1/tests/pitch_ladder@1").json()
    assert old["target"] == 3
    every = client.get("/v1/tests?every_version=true").json()["items"]
    assert [one["version"] for one in every if one["name"] == "pitch_ladder"] == [1, 2]


def test_the_same_rules_again_change_nothing(client):
    first = post(client, "/v1/tests", LADDER)
    assert post(client, "/v1/tests", LADDER) == first
    assert post(client, "/v1/tests/pitch_ladder/versions", RULES)["version"] == 1


def test_a_drawn_test_draws_by_its_seed(client):
    post(client, "/v1/tests", LADDER | {"order": "drawn", "draw": 3})
    plays = [client.get(f"/v1/tests/pitch_ladder?seed={n}").json()["play"] for n in range(8)]
    assert all(len(set(play)) == 3 for play in plays)
    assert len({tuple(play) for play in plays}) > 1
    assert client.get("/v1/tests/pitch_ladder?seed=3").json()["play"] == plays[3]


def test_scores_read_before_their_rules_were_made_are_read_again(client, store):
    """An answer kept from before does not outlive the making of its test."""
    row = {"test": "pitch_ladder@1", "attempt_id": "sheet", "hit": True}
    at = datetime(2026, 5, 4, 17, 30, tzinfo=UTC)
    enter(
        store, "pada1", "scores", [row | {"station": n, "scored_at_utc": at} for n in (1, 2, 3, 4)]
    )
    time.sleep(0.05)  # until the folder's stamp vouches for an answer
    scores = "/v1/players/pada1/test-scores"
    assert [client.get(scores).json()["tests"] for _ in range(2)] == [[], []]
    post(client, "/v1/tests", LADDER)
    assert [one["test"] for one in client.get(scores).json()["tests"]] == ["pitch_ladder@1"]


@pytest.mark.parametrize(
    ("change", "code", "words"),
    [
        ({"target": 5}, "bad_question", "the most is 4"),
        ({"draw": 9}, "bad_question", "exceeds the stations"),
        ({"measure": "points"}, "bad_question", "needs awards"),
        ({"awards": [{"kind": "holed", "points": 1}]}, "bad_question", "belong to a points test"),
        (
            {"measure": "points", "awards": [{"kind": "within", "points": 1}]},
            "bad_question",
            "lacks its distance",
        ),
        ({"stations": []}, "does_not_fit", ""),
        ({"stations": [{"lie": "fringe", "distance_m": 0}]}, "does_not_fit", ""),
        ({"measure": "birdies"}, "does_not_fit", ""),
        ({"name": "Pitch Ladder"}, "does_not_fit", ""),
    ],
)
def test_rules_that_cannot_be_are_refused_and_nothing_is_kept(client, change, code, words):
    status = 422 if code == "does_not_fit" else 409
    refused = post(client, "/v1/tests", LADDER | change, status)
    assert refused["code"] == code
    assert words in refused["detail"]
    assert refused["mend"]
    assert client.get("/v1/tests/pitch_ladder").status_code == 404


def test_a_taken_name_a_built_in_and_an_unknown_test_are_refused(client):
    post(client, "/v1/tests", LADDER)
    taken = post(client, "/v1/tests", LADDER | {"target": 2}, 409)
    assert (taken["code"], "new version" in taken["mend"]) == ("rules_taken", True)
    assert post(client, "/v1/tests", LADDER | {"name": "gate_twenty"}, 409)["code"] == "rules_taken"
    built_in = post(client, "/v1/tests/gate_twenty/versions", RULES, 409)
    assert "not yours" in built_in["detail"]
    assert post(client, "/v1/tests/nothing_so/versions", RULES, 404)["code"] == "no_such_test"
    scores = "/v1/players/pada1/test-scores"
    assert post(client, scores, sitting("nothing_so", [1], "some-1"), 404)["code"] == "no_such_test"
    twice = sitting("pitch_ladder", [1, 1], "some-2")
    twice["balls"][1]["station"] = 1
    assert "scored twice" in post(client, scores, twice, 409)["detail"]


def test_a_test_of_one_coach_is_not_another_coachs(client, store):
    save_player(store, Player("pmora1", "Ana", coach="Mora"))
    save_player(store, Player("pbo11", "Ben", coach="Bo"))
    mora, bo = (key_of(store, coach=name) for name in ("Mora", "Bo"))
    app = key_of(store, coach="Mora", players=["pmora1"])
    post(client, "/v1/tests", LADDER, **mora)
    assert client.get("/v1/tests/pitch_ladder", headers=bo).status_code == 404
    assert client.get("/v1/tests/pitch_ladder", headers=mora).status_code == 200
    one = sitting("pitch_ladder", [1, 1, 1, 1], "the-one")
    post(client, "/v1/players/pmora1/test-scores", one, **mora)
    post(client, "/v1/players/pbo11/test-scores", one, 404, **bo)
    other = LADDER | {"title": "Another Ladder"}
    assert post(client, "/v1/tests", other, **bo)["version"] == 1
    assert post(client, "/v1/tests", other, 403, **app)["code"] == "limited_to_names"
    titles = [json.loads(client.get("/v1/tests/pitch_ladder", headers=h).text) for h in (mora, bo)]
    assert [one["title"] for one in titles] == ["Pitch Ladder", "Another Ladder"]


def test_a_name_means_the_test_of_that_name_and_no_title_of_another(client):
    post(client, "/v1/tests", LADDER | {"name": "other_one", "title": "Gate Twenty"})
    changed = RULES | {"title": "Gate Twenty", "target": 4}
    assert post(client, "/v1/tests/other_one/versions", changed)["test"] == "other_one@2"
    assert client.get("/v1/tests/gate_twenty").json()["test"] == "gate_twenty@1"


def test_two_coaches_tests_of_one_name_are_both_listed_and_neither_leaks(client, store):
    save_player(store, Player("pmora1", "Ana", coach="Mora"))
    mora, bo = (key_of(store, coach=name) for name in ("Mora", "Bo"))
    diary, other = (key_of(store, players=[name]) for name in ("pmora1", "pada1"))
    post(client, "/v1/tests", LADDER, **mora)
    post(client, "/v1/tests", LADDER | {"title": "Another Ladder"}, **bo)
    post(client, "/v1/tests/pitch_ladder/versions", RULES | {"target": 4}, **mora)

    def listed(**headers):
        items = client.get("/v1/tests", headers=headers).json()["items"]
        return [(one["test"], one["coach"]) for one in items if one["own"]]

    both = [("pitch_ladder@1", "Bo"), ("pitch_ladder@2", "Mora")]
    assert listed() == both
    assert listed(**mora) == both[1:]
    assert listed(**diary) == both[1:]
    assert listed(**other) == []
    refused = post(client, "/v1/tests/pitch_ladder/versions", RULES | {"target": 2}, 409)
    assert "Several coaches" in refused["detail"]
    text = client.get("/tests").text
    assert ("Another Ladder" in text, "Pitch Ladder" in text) == (True, True)
    assert text.count('id="pitch_ladder"') == 1
    forbidden = client.get("/tests", headers=other).text
    assert "pitch_ladder" not in forbidden


def test_each_coach_gets_the_own_test_of_a_shared_name(client, store):
    state = ServiceState(store)
    keys = {
        coach: create_key(state, coach, ["read:profiles", "import"], coach=coach)[1]
        for coach in ("anna", "mora")
    }
    state.close()
    asked = {coach: client.as_(key) for coach, key in keys.items()}
    for coach, target in (("anna", 2), ("mora", 3)):
        made = post(asked[coach], "/v1/tests", LADDER | {"target": target})
        assert (made["coach"], made["target"]) == (coach, target)
    post(asked["mora"], "/v1/tests/pitch_ladder/versions", RULES | {"target": 4})
    anna, mora = (asked[coach].get("/v1/tests/pitch_ladder").json() for coach in asked)
    assert (anna["coach"], anna["target"], anna["version"]) == ("anna", 2, 1)
    assert (mora["coach"], mora["target"], mora["version"]) == ("mora", 4, 2)
    # The book's own machine sees both: the first coach's, or whose it says.
    assert client.get("/v1/tests/pitch_ladder").json() == anna
    assert client.get("/v1/tests/pitch_ladder@2").json() == mora
    assert client.get("/v1/tests/pitch_ladder?coach=mora").json() == mora
    foreign = asked["anna"].get("/v1/tests/pitch_ladder?coach=mora")
    assert (foreign.status_code, foreign.json()["code"]) == (404, "no_such_test")
