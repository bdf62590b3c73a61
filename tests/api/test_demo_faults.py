"""The demo taken in by the product itself: each planted fault of the truth file is found."""

import json

import pytest

from analytics.db import open_store
from analytics.foreign_rows import foreign_rows
from api.demo_book import build_demo
from api.pair_player import pair_player
from ingest.import_file import Imported

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    store = tmp_path_factory.mktemp("faults") / "store"
    return store, build_demo(store)


@pytest.fixture(scope="module")
def faults(book):
    _, demo = book
    planted = json.loads((demo.exports / "truth.json").read_text("utf-8"))["faults"]
    return {entry["fault"]: entry for entry in planted}


def outcome(book, path: str) -> Imported:
    """What became of the file, by player and name."""
    _, demo = book
    folder, _, name = path.partition("/")
    players = {player.display_name.lower(): player.player_id for player in demo.players}
    (found,) = [
        one
        for one in demo.outcomes
        if isinstance(one, Imported)
        and one.source_name == name
        and one.ledger.player_id == players[folder]
    ]
    return found


def test_every_file_was_taken_without_a_question(book):
    _, demo = book
    assert all(isinstance(one, Imported) for one in demo.outcomes)
    assert sum(one.ledger.questions_open for one in demo.outcomes) == 0


def test_the_file_in_yards_is_read_in_yards(book, faults):
    found = outcome(book, faults["distances_in_yards"]["files"][0])
    (carry,) = [one for one in found.ledger.details["mapped"] if one["column"] == "carry_m"]
    assert carry["unit"] == "[yd_i]"


def test_the_decimal_comma_is_read_as_one(book, faults):
    store, demo = book
    planted = faults["decimal_comma"]
    found = outcome(book, planted["files"][0])
    text = (demo.exports / planted["files"][0]).read_text("utf-8").splitlines()
    header = next(line for line in text if "Carry" in line).split(";")
    written = text[planted["lines"][0] - 1].split(";")[header.index("Carry")]
    with open_store(store, planted["player_id"]) as connection:
        query = "SELECT carry_m FROM shots WHERE import_id = $id AND source_line = $line"
        wanted = {"id": found.ledger.import_id, "line": planted["lines"][0]}
        ((carry_m,),) = connection.sql(query, params=wanted).fetchall()
    assert carry_m == pytest.approx(float(written.replace(",", ".")), abs=1e-9)


def test_the_overlapping_export_adds_only_its_new_rows(book, faults):
    planted = faults["overlapping_export"]
    overlap = outcome(book, planted["files"][-1]).overlap
    assert (overlap.new, overlap.changed) == (planted["new_rows"], 0)


def test_the_sensor_clock_is_found(book, faults):
    store, _ = book
    planted = faults["sensor_clock"]
    days = [path.partition("/")[2][:10] for path in planted["files"]]
    maps = {one.session_id[-10:]: one for one in pair_player(store, planted["player_id"])}
    for day in days:
        assert maps[day].offset_s == pytest.approx(planted["offset_s"], abs=2.0)


def test_the_rows_of_another_player_are_listed_and_nobody_elses(book, faults):
    store, demo = book
    planted = faults["rows_of_another_player"]
    with open_store(store) as connection:
        found = {one.player_id: foreign_rows(connection, one.player_id) for one in demo.players}
    (run,) = found.pop(planted["player_id"])
    assert set(run.source_lines) >= set(planted["lines"])
    assert len(run.source_lines) <= len(planted["lines"]) + 1
    assert run.looks_like == planted["true_player_id"]
    assert not any(found.values())


def test_the_true_pair_that_looks_doubled_stays_two(book, faults):
    store, _ = book
    planted = faults["true_pair_that_looks_doubled"]
    found = outcome(book, planted["files"][0])
    assert found.ledger.rows_repeated == 0
    with open_store(store, planted["player_id"]) as connection:
        query = "SELECT source_line FROM shots WHERE import_id = $id ORDER BY source_line"
        rows = connection.sql(query, params={"id": found.ledger.import_id}).fetchall()
    assert {line for (line,) in rows} >= set(planted["lines"])


def test_the_wet_week_is_tagged(book):
    store, demo = book
    for player in demo.players:
        with open_store(store, player.player_id) as connection:
            query = "SELECT day::VARCHAR FROM sessions WHERE wetness = 'wet'"
            assert connection.sql(query).fetchall() == [("2025-10-15",)]
