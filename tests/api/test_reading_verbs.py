"""`preview`, `layout` and `check` from the command line."""

import json

import pytest
from click.testing import CliRunner

from api.cli import cli
from ingest.import_file import import_file
from ingest.players import Player, save_player
from ingest.store import ledgers

OPEN = "Shot,Time,Carry\n1,2026-03-14T10:00:00Z,12.5\n2,2026-03-14T10:01:00Z,11.0\n"


@pytest.fixture
def export(tmp_path, monkeypatch):
    monkeypatch.setenv("CARRYBOOK_LAYOUTS", str(tmp_path / "layouts"))
    path = tmp_path / "range.csv"
    path.write_text(OPEN)
    return path


def run(*arguments, **given):
    return CliRunner().invoke(cli, [str(a) for a in arguments], standalone_mode=False, **given)


def test_preview_tells_all_and_writes_nothing(export):
    before = sorted(export.parent.iterdir())
    shown = run("preview", export, "--json")
    found = json.loads(shown.output)
    assert shown.return_value == 1
    assert [q["id"] for q in found["questions"]] == ["unit:carry_m"]
    assert [row["line"] for row in found["rows"]] == [2, 3]
    assert sorted(export.parent.iterdir()) == before
    plain = run("preview", export, "--unit", "carry_m=yd")
    assert plain.return_value == 0
    assert "2 rows to keep" in plain.output


def test_preview_of_pasted_text_and_of_nothing():
    assert json.loads(run("preview", "-", "--json", input=OPEN).output)["kind"] == "launch"
    empty = run("preview", "-", "--json", input="")
    assert json.loads(empty.output)["outcome"] == "rejected"
    assert empty.return_value == 2


def test_a_saved_layout_is_listed_shown_and_used(export):
    run("layout", "save", "my-device", export, "--unit", "carry_m=yd")
    assert "my-device@1" in run("layout", "list").output
    assert 'unit = "[yd_i]"' in run("layout", "show", "my-device").output
    again = json.loads(run("preview", export, "--json").output)
    assert again["questions"] == []
    assert again["layout"] == "my-device@1"


def test_check_lists_and_answers(export):
    store = export.parent / "store"
    player = Player(player_id="robin", display_name="Robin")
    save_player(store, player)
    import_file(store, export, player)
    (question,) = json.loads(run("check", "--store", store, "--json").output)
    assert question["id"] == "unit:carry_m"
    told = ("--import", question["import_id"], "--answer", "unit:carry_m=yd")
    answered = run("check", "--store", store, *told)
    assert answered.return_value == 0, answered.output
    assert "No open questions" in run("check", "--store", store).output


PACE = "Shot,Time,Pace (mph),Carry (m)\n1,2026-03-14T10:00:00Z,24.0,12.5\n"


def test_a_header_that_nothing_knows_can_be_named(export):
    export.write_text(PACE)
    assert json.loads(run("preview", export, "--json").output)["unknown_columns"] == ["Pace (mph)"]
    named = ("--column", "Pace (mph)=club_speed_mps")
    found = json.loads(run("preview", export, "--json", *named).output)
    assert found["rows"][0]["values"]["club_speed_mps"] == pytest.approx(24 * 0.44704)
    run("layout", "save", "paced", export, *named)
    again = json.loads(run("preview", export, "--json").output)
    assert again["unknown_columns"] == []


@pytest.mark.parametrize("named", ["Speed=club_speed_mps", "Pace (mph)=speed_of_light"])
def test_a_name_for_no_header_or_no_column_is_refused(export, named):
    export.write_text(PACE)
    shown = json.loads(run("preview", export, "--json", "--column", named).output)
    assert (shown["outcome"], shown["code"]) == ("rejected", "bad_option")


def test_a_column_of_an_import_can_be_named_later(export):
    export.write_text(PACE)
    store = export.parent / "store"
    player = Player(player_id="robin", display_name="Robin")
    save_player(store, player)
    taken = import_file(store, export, player)
    told = ("--import", taken.ledger.import_id, "--column", "Pace (mph)=club_speed_mps")
    assert "No open questions" in run("check", "--store", store, *told).output
    newest = max(ledgers(store, "robin"), key=lambda entry: entry.imported_at_utc)
    assert newest.supersedes == taken.ledger.import_id
    assert "club_speed_mps" in [column["column"] for column in newest.details["mapped"]]


def test_an_import_with_open_questions_says_so_and_exits_with_one(export):
    store = export.parent / "store"
    save_player(store, Player(player_id="robin", display_name="Robin"))
    taken = run("import", export, "--player", "robin", "--store", store)
    assert taken.return_value == 1
    assert "Open questions: 1" in taken.output
    assert taken.output.rstrip().endswith("carrybook check --player robin")
