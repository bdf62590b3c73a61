"""Pairs in the store: computed when files change, from the demo's own clock faults."""

import json

import pytest

from analytics import pairing_blocks
from analytics.db import open_store
from api.app import make_app
from api.cli import main
from api.pair_player import pair_player
from api.settings import Settings
from api.take_back import bring_back, take_back
from api.take_in import take_in
from demo_data.write import write_demo
from ingest.edits import Correction, correct
from ingest.players import Player, save_player
from ingest.store import ledgers
from tests.api.client import client_of

TOBIAS = Player("q3fk82", "Tobias", zone="Europe/Berlin")
DAYS = ("2025-10-22", "2025-10-29")


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    write_demo(folder)
    return folder


@pytest.fixture
def book(tmp_path, demo):
    save_player(tmp_path, TOBIAS)
    files = [demo / "tobias" / f"{day}_{kind}.csv" for day in DAYS for kind in ("launch", "tempo")]
    take_in(tmp_path, files, TOBIAS)
    return tmp_path


def truth(demo):
    sessions = json.loads((demo / "truth.json").read_text("utf-8"))["sessions"]
    return {one["day"]: one for one in sessions if one["player_id"] == TOBIAS.player_id}


def strikes(store):
    with open_store(store, TOBIAS.player_id) as connection:
        return connection.sql(
            "SELECT shots.day::VARCHAR, shots.source_line, swings.source_line FROM pairs "
            "JOIN shots ON shots.event_id = shot_event_id "
            "JOIN swings ON swings.event_id = swing_event_id "
            "WHERE role = 'strike' ORDER BY ALL"
        ).fetchall()


def test_the_planted_clock_fault_is_found_and_the_pairs_are_the_true_ones(book, demo):
    found = {one.session_id.partition(":")[2]: one for one in pair_player(book, TOBIAS.player_id)}
    for day in DAYS:
        planted = truth(demo)[day]
        assert found[day].verdict == "paired"
        assert found[day].offset_s == pytest.approx(planted["sensor_offset_s"], abs=1.0)
    assert found["2025-10-29"].offset_s == pytest.approx(61 * 60 + 20, abs=2.0)
    true = {
        (day, pair["launch_line"], pair["swing_line"])
        for day in DAYS
        for pair in truth(demo)[day]["pairs"]
    }
    paired = set(strikes(book))
    assert len(paired & true) / len(paired) >= 0.98
    assert len(paired & true) / len(true) >= 0.95


def test_pairs_follow_the_files(book):
    both = strikes(book)
    sensor = next(one for one in ledgers(book, TOBIAS.player_id) if one.kind == "tempo")
    take_back(book, sensor.import_id)
    assert len(strikes(book)) < len(both)
    bring_back(book, sensor.import_id)
    assert strikes(book) == both


def test_a_pair_forbidden_by_hand_is_not_made_and_a_pin_is(book):
    with open_store(book, TOBIAS.player_id) as connection:
        shot, swing = connection.sql(
            "SELECT shot_event_id, swing_event_id FROM pairs WHERE role = 'strike' ORDER BY ALL"
        ).fetchall()[0]
    correct(book, TOBIAS.player_id, [Correction("forbid_pair", shot, value=swing)], by="coach")
    pair_player(book, TOBIAS.player_id)
    assert (shot, swing) not in hand(book)
    correct(book, TOBIAS.player_id, [Correction("pin_pair", shot, value=swing)], by="coach")
    pair_player(book, TOBIAS.player_id)
    assert (shot, swing) in hand(book)


def hand(store):
    with open_store(store, TOBIAS.player_id) as connection:
        return connection.sql(
            "SELECT shot_event_id, swing_event_id FROM pairs WHERE role = 'strike'"
        ).fetchall()


def test_two_files_pair_without_a_store(demo, capsys):
    files = [str(demo / "tobias" / f"2025-10-29_{kind}.csv") for kind in ("launch", "tempo")]
    with pytest.raises(SystemExit) as ended:
        main(["pair", "--launch", files[0], "--swings", files[1], "--json"])
    assert ended.value.code == 0
    document = json.loads(capsys.readouterr().out)
    assert document["verdict"] == "paired"
    assert document["clock"]["offset_s"] == pytest.approx(3680, abs=2)
    assert set(document["pairs"][0]) == {"launch_line", "swing_line", "probability"}
    assert {one["role"] for one in document["rehearsals"]} >= {"rehearse_long", "rehearse_short"}


def test_unrelated_files_are_refused_with_a_mend(demo, capsys):
    files = [
        str(demo / "tobias" / "2025-10-22_launch.csv"),
        str(demo / "petra" / "2025-09-24_tempo.csv"),
    ]
    with pytest.raises(SystemExit) as ended:
        main(["pair", "--launch", files[0], "--swings", files[1], "--json"])
    assert ended.value.code == 1
    document = json.loads(capsys.readouterr().out)
    assert document["verdict"] != "paired"
    assert document["pairs"] == []
    assert document["reason"]


def test_one_more_file_leaves_the_other_sessions_as_they_were(book, demo, monkeypatch):
    before = {one.session_id: one for one in pair_player(book, TOBIAS.player_id)}
    tried = []
    original = pairing_blocks.pair

    def counted(launch, swings, **hand):
        tried.append(len(launch.times_s))
        return original(launch, swings, **hand)

    monkeypatch.setattr(pairing_blocks, "pair", counted)
    files = [demo / "tobias" / f"2025-11-05_{kind}.csv" for kind in ("launch", "tempo")]
    take_in(book, files, TOBIAS)
    after = {one.session_id: one for one in pair_player(book, TOBIAS.player_id)}
    assert len(tried) == 1
    assert len(after) == 3
    assert all(after[name] == one for name, one in before.items())
    assert all(one.verdict == "paired" for one in after.values())


def test_an_unpaired_session_says_what_would_mend_it(tmp_path, demo):
    save_player(tmp_path, TOBIAS)
    take_in(tmp_path, [demo / "tobias" / f"{DAYS[0]}_launch.csv"], TOBIAS)
    (only,) = pair_player(tmp_path, TOBIAS.player_id)
    assert only.verdict == "cannot_pair"
    assert "sensor" in only.mend


def test_settled_by_hand_on_the_command_line_and_shown(book, capsys):
    with open_store(book, TOBIAS.player_id) as connection:
        shot, swing = connection.sql(
            "SELECT shot_event_id, swing_event_id FROM pairs WHERE role = 'strike' ORDER BY ALL"
        ).fetchall()[0]
    asked = ["pair", "--player", "Tobias", "--store", str(book)]
    with pytest.raises(SystemExit) as ended:
        main([*asked, "--forbid", f"{shot}={swing}", "--json"])
    assert ended.value.code == 0
    sessions = json.loads(capsys.readouterr().out)
    assert (shot, swing) not in hand(book)
    assert {one["verdict"] for one in sessions} == {"paired"}
    with pytest.raises(SystemExit) as ended:
        main([*asked, "--offset", f"{sessions[0]['session_id']}={sessions[0]['offset_s']}"])
    assert ended.value.code == 0
    assert "drift" in capsys.readouterr().out
    with pytest.raises(SystemExit) as ended:
        main([*asked, "--pin", "nothing=nowhere"])
    assert ended.value.code == 2


def test_the_service_shows_the_clock_map_of_every_session(book):
    with client_of(make_app(Settings(book))) as client:
        body = client.get(f"/v1/players/{TOBIAS.player_id}/pairs").json()
    found = {one["session_id"].partition(":")[2]: one for one in body["sessions"]}
    assert set(found) == set(DAYS)
    assert found["2025-10-29"]["offset_s"] == pytest.approx(3680, abs=2)
    assert found["2025-10-29"]["margin"] > 20
    assert len(found["2025-10-29"]["import_ids"]) == 2
    assert sum(found["2025-10-29"]["unpaired"].values()) == (
        found["2025-10-29"]["n_shots"] - found["2025-10-29"]["n_pairs"]
    )
