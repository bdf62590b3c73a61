"""A workbook with balls on one sheet and swings on another: each comes in as what it is."""

from pathlib import Path

import pytest

from api.import_work import take_in_upload
from api.take_in import take_in
from ingest.import_file import import_file
from ingest.options import Options
from ingest.players import Player, save_player
from ingest.preview_json import as_preview
from ingest.read_export import read_export
from ingest.store import ledgers, undo
from tests.ingest.test_further_tables import AVERAGES, FIRST, HEAD, workbook

ANA = Player(player_id="pana", display_name="Ana", zone="UTC")
SWINGS = [["Swing", "Backswing (s)", "Downswing (s)"], [1, 0.81, 0.31], [2, 0.77, 0.29]]
MEANS = [["Club", "Backswing (s)", "Downswing (s)"], ["SW", 0.79, 0.30]]
BOOK = workbook(Shots=[HEAD, *FIRST], Swings=SWINGS, Averages=AVERAGES, Means=MEANS)


@pytest.fixture
def store(tmp_path):
    save_player(tmp_path / "store", ANA)
    return tmp_path / "store"


def kinds(store: Path) -> list[tuple[str, int, str | None]]:
    found = ledgers(store, ANA.player_id)
    return sorted((one.kind, one.rows_kept, one.supersedes) for one in found)


def test_the_preview_names_the_other_sheets_and_kinds():
    found = as_preview(read_export(BOOK, name="any"))
    assert found["kind"] == "launch"
    assert found["other_sheets"] == ["any#Swings", "any#Averages", "any#Means"]
    assert found["other_kinds"] == ["tempo"]


def test_a_kind_that_is_asked_for_is_looked_for_among_the_sheets():
    found = read_export(BOOK, name="any", options=Options(kind="tempo"))
    assert (found.kind, found.table.height, found.sheets) == ("tempo", 2, ("any#Swings",))


def test_both_sheets_come_in_and_each_can_be_taken_back(store, tmp_path):
    file = tmp_path / "lesson.xlsx"
    file.write_bytes(BOOK)
    assert [one.ledger.kind for one in take_in(store, [file], ANA)] == ["launch", "tempo"]
    assert kinds(store) == [("launch", 2, None), ("tempo", 2, None)]
    assert [one.new for one in take_in(store, [file], ANA)] == [False, False]
    (swings,) = (one for one in ledgers(store, ANA.player_id) if one.kind == "tempo")
    undo(store, ANA.player_id, swings.import_id)
    assert kinds(store) == [("launch", 2, None)]


def test_an_upload_brings_both_in_too(store):
    take_in_upload(store, ANA.player_id, BOOK, {"name": "lesson.xlsx", "options": {}})
    assert [kind for kind, _, _ in kinds(store)] == ["launch", "tempo"]


def test_the_same_sheet_read_anew_still_replaces(store):
    import_file(store, BOOK, ANA, name="a.xlsx", options=Options(kind="tempo"))
    again = import_file(store, BOOK, ANA, name="a.xlsx", options=Options(kind="tempo", year=2026))
    assert again.ledger.supersedes is not None


def test_a_workbook_of_another_name_replaces_what_its_sheets_gave(store):
    for name, zone in (("lesson.xlsx", "UTC"), ("lesson (1).xlsx", "Europe/Madrid")):
        asked = {"name": name, "options": {"zone": zone}}
        take_in_upload(store, ANA.player_id, BOOK, asked)
    first, second = (
        {one.kind: one for one in ledgers(store, ANA.player_id) if bool(one.supersedes) == later}
        for later in (False, True)
    )
    assert {kind: one.supersedes for kind, one in second.items()} == {
        kind: one.import_id for kind, one in first.items()
    }
