"""What a coach's players have in common: who is asked, who sees it, when it is learnt, what rests
on it, and that it is the same over HTTP and on the command line.
"""

import json
import math
import re
import time
from datetime import UTC, datetime, timedelta

import numpy as np
import pyarrow.parquet as pq
import pytest
from click.testing import CliRunner

from api.cli import cli
from api.erase_player import erase_player
from api.learn_population import Size, learn_population_of, learn_when_due
from api.player_cards import SETTLE_NS
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from schemas.store_paths import coach_group, population_dir
from tests.api.conftest import START

THIN = "pnew1"


def settle():
    time.sleep(2 * SETTLE_NS / 1e9)


def add_player(store, name, coach, exponent, n_balls=30, **card):
    """A player whose sand wedge and pitching wedge carry by this exponent."""
    rng = np.random.default_rng(len(name) + sum(map(ord, name)))
    save_player(store, Player(name, name.title(), coach=coach, **card))
    rows = [
        {
            "device_number": i,
            "struck_at_utc": START + timedelta(days=i % 3, minutes=i),
            "club": "SW" if i % 2 else "PW",
            "club_text": "SW" if i % 2 else "PW",
            "club_speed_mps": float(speed),
            "carry_m": float(
                (9 if i % 2 else 12) * (speed / 10) ** exponent * math.exp(rng.normal(0, 0.04))
            ),
        }
        for i, speed in enumerate(rng.uniform(5, 14, n_balls))
    ]
    enter(store, name, "shots", rows)


@pytest.fixture
def group(store):
    """Six players of Mora's with an exponent of 1.6, and one of hers with four balls."""
    for number in range(6):
        add_player(store, f"pmora{number}", "mora", 1.6)
    add_player(store, THIN, "mora", 1.6, n_balls=4)
    return store


def curve(client, player=THIN, query=""):
    body = client.get(f"/v1/players/{player}/carry-curves?club=SW{query}").json()
    return body | {"curve": body["curves"][0]}


def rows_of(store):
    return pq.read_table(sorted(population_dir(store).glob("*.parquet"))[-1]).to_pylist()


def test_thin_data_lean_on_the_players_of_the_same_coach(group, client):
    before = curve(client)
    learn_population_of(group)
    settle()
    after = curve(client)
    assert before["curve"]["n_players"] == 0
    assert after["curve"]["n_players"] == 7
    assert before["curve"]["exponent"] > 1.85
    assert after["curve"]["exponent"] == pytest.approx(1.6, abs=0.1)
    assert before["fit_version"] == "2"
    assert after["fit_version"].startswith("2+")
    assert after["curve"]["points"][0]["centre"]["fit_version"] == after["fit_version"]


def test_the_command_line_says_the_same(group, client):
    learn_population_of(group)
    settle()
    over_http = curve(client)
    asked = ["--player", THIN, "--store", str(group)]
    shown = CliRunner().invoke(cli, ["curve", *asked, "--club", "SW", "--json"])
    (on_line,) = json.loads(shown.output)["curves"]
    assert on_line["exponent"] == over_http["curve"]["exponent"]
    assert on_line["fit_version"] == over_http["fit_version"]
    text = CliRunner().invoke(cli, ["curve", *asked]).output
    assert "leans on what 7 players of the same coach have in common" in text
    shown = CliRunner().invoke(cli, ["ladder", *asked, "--json"])
    ladder = client.get(f"/v1/players/{THIN}/carry-ladder").json()
    rungs = json.loads(shown.output)["ladder"]
    assert [rung["centre"]["value"] for rung in rungs] == [
        rung["centre"]["value"] for rung in ladder["rungs"]
    ]
    assert ladder["fit_version"] == over_http["fit_version"]


def test_a_kept_answer_goes_when_it_is_learnt_anew(group, client):
    settle()
    tag = client.get(f"/v1/players/{THIN}/carry-curves").headers["etag"]
    held = {"If-None-Match": tag}
    assert client.get(f"/v1/players/{THIN}/carry-curves", headers=held).status_code == 304
    learn_population_of(group)
    assert client.get(f"/v1/players/{THIN}/carry-curves", headers=held).status_code == 200


def test_an_answer_as_of_a_day_rests_on_what_was_known_then(group, client):
    settle()
    assumed = curve(client)
    between = datetime.now(UTC)
    learn_population_of(group)
    learnt = curve(client)
    add_player(group, "pmora7", "mora", 2.3)
    learn_population_of(group)
    again = curve(client, query=f"&as_of={between.isoformat().replace('+', '%2B')}")
    assert again["curve"]["exponent"] == assumed["curve"]["exponent"]
    then = curve(client, query=f"&as_of={learnt['as_of']}")
    assert then["curve"]["exponent"] == learnt["curve"]["exponent"]
    assert then["fit_version"] == learnt["fit_version"] != curve(client)["fit_version"]


def test_nothing_crosses_from_one_coach_to_another(group, client):
    learn_population_of(group)
    settle()
    alone = curve(client)
    for number in range(6):
        add_player(group, f"pnell{number}", "nell", 2.3)
    learn_population_of(group)
    settle()
    beside = curve(client)
    assert beside["curve"]["exponent"] == alone["curve"]["exponent"]
    assert beside["fit_version"] == alone["fit_version"]
    assert curve(client, "pnell1")["fit_version"] != alone["fit_version"]


def test_fewer_than_five_players_teach_nothing(store):
    for number in range(4):
        add_player(store, f"pmora{number}", "mora", 1.6)
    assert not learn_when_due(store) or not rows_of(store)
    add_player(store, "pjune1", "mora", 1.6, age_band="junior")
    learn_population_of(store)
    assert rows_of(store) == []
    add_player(store, "pmora5", "mora", 1.6)
    learn_population_of(store)
    assert {row["n_players"] for row in rows_of(store)} == {5}
    assert {row["coach_group"] for row in rows_of(store)} == {coach_group("mora")}


def test_it_is_learnt_anew_only_when_enough_changed(group):
    assert learn_when_due(group)
    assert not learn_when_due(group)
    before = Size(100, 8.0)
    assert not Size(110, 9.0).grown(before)
    assert Size(151, 8.0).grown(before)
    assert Size(60, 8.0).grown(before)
    assert Size(100, 12.5).grown(before)
    assert not Size(900, 9.0).grown(Size(600, 8.0))


def test_an_erased_player_is_in_nothing_that_was_learnt(group, client):
    learn_population_of(group)
    (before,) = sorted(population_dir(group).iterdir())
    removed = erase_player(group, "pmora3")
    assert str(before.relative_to(group)) in removed
    (after,) = sorted(population_dir(group).iterdir())
    assert after != before
    assert {row["n_players"] for row in rows_of(group)} == {6}


def test_what_was_learnt_names_nobody(group):
    learn_population_of(group)
    (path,) = population_dir(group).iterdir()
    told = repr(pq.read_table(path).to_pylist()) + path.read_bytes().decode("latin-1")
    assert not any(name in told for name in ("mora", "Mora", THIN))


def test_the_verb_says_what_was_learnt(group):
    shown = CliRunner().invoke(cli, ["calibrate", "--store", str(group)])
    assert "mora:" in shown.output
    assert re.search(r"  club speed, 7 players: exponent 1\.[678]\d; players \d+ % ", shown.output)
    assert "  swing length alone, 7 players: players " in shown.output
    assert "players without a coach: fewer than 5 players" in shown.output
    document = json.loads(
        CliRunner().invoke(cli, ["calibrate", "--store", str(group), "--json"]).output
    )
    kinds = {group["coach"]: group["kinds"] for group in document["groups"]}
    assert kinds[""] == []
    assert kinds["mora"][0]["n_players"] == 7


def test_the_feed_says_that_answers_rest_on_something_new(group, client):
    since = client.get("/v1/changes?since=0").json()["cursor"]
    learn_population_of(group)
    told = client.get(f"/v1/changes?since={since}").json()["items"]
    assert (THIN, "profile.changed") in {(one["player_id"], one["type"]) for one in told}
    after = client.get("/v1/changes").json()["cursor"]
    assert client.get(f"/v1/changes?since={after}").json()["items"] == []


def test_files_that_go_away_meanwhile_leave_it_to_the_next_time(group, monkeypatch):
    def gone(*_: object) -> None:
        raise FileNotFoundError("taken back just now")

    monkeypatch.setattr("analytics.db.scan", gone)
    assert learn_when_due(group) is False
