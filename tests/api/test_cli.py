"""The command as a person uses it."""

import io
import json
import socket

import pytest

from api.cli import main
from api.verbs.serve import free_port
from tests.ingest.test_import_file import export, line

ROBIN = ["--player", "robin"]


@pytest.fixture
def run(tmp_path, capsys):
    def run(*arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as ended:
            main([arguments[0], "--store", str(tmp_path / "book"), *arguments[1:]])
        out, err = capsys.readouterr()
        return int(ended.value.code or 0), out, err

    return run


@pytest.fixture
def book(tmp_path, run):
    run("players", "add", "Robin", "--id", "probin", "--zone", "Europe/Madrid")
    (tmp_path / "a.csv").write_bytes(export(12))
    return tmp_path


def test_a_player_has_a_coach_and_an_id_is_taken_once(run):
    run("players", "add", "Robin", "--id", "probin", "--coach", "Mora")
    code, _, err = run("players", "add", "Sam", "--id", "probin")
    assert (code, "There is a player 'probin' already" in err) == (2, True)
    (player,) = json.loads(run("players", "--json")[1])
    assert (player["display_name"], player["coach"]) == ("Robin", "Mora")


def test_port_zero_is_a_port_that_is_told():
    port = free_port("127.0.0.1", 0)
    assert port > 0
    assert free_port("127.0.0.1", port) == port


def test_a_sheet_is_written_here_whatever_the_player_is_called(run, tmp_path, monkeypatch):
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    run("players", "add", "../Robin", "--id", "probin")
    code, _, err = run("sheet", "--player", "probin")
    assert code == 0, err
    assert [path.name for path in (tmp_path / "here").iterdir()] == ["robin-sheet.pdf"]
    assert not list(tmp_path.glob("*.pdf"))


def test_a_player_is_added_and_listed(run):
    assert run("players")[1].startswith("No player yet")
    run("players", "add", "Robin", "--left-handed")
    _, out, _ = run("players", "--json")
    (player,) = json.loads(out)
    assert (player["display_name"], player["handedness"]) == ("Robin", "left")


def test_import_says_what_landed_and_what_next(run, book):
    code, out, _ = run("import", str(book / "a.csv"), *ROBIN)
    assert code == 0
    assert "12 rows in = 12 kept + 0 set aside + 0 repeats" in out
    assert "Next: carrybook" in out
    assert "already in the book" in run("import", str(book / "a.csv"), *ROBIN)[1]


def test_exit_code_one_when_rows_were_set_aside_and_two_when_nothing_was_done(run, book):
    bad = export(12).replace(line(5).encode(), line(5, carry=-4).encode())
    (book / "bad.csv").write_bytes(bad)
    assert run("import", str(book / "bad.csv"), *ROBIN)[0] == 1
    (book / "empty.csv").write_bytes(b"")
    code, out, _ = run("import", str(book / "empty.csv"), *ROBIN)
    assert code == 2
    assert "empty.csv" in out
    assert "Mend" in out


def test_an_unknown_player_is_an_error_that_names_the_next_command(run, book):
    code, _, err = run("import", str(book / "a.csv"), "--player", "nobody")
    assert code == 2
    assert "carrybook players" in err


def test_undo_and_redo(run, book):
    run("import", str(book / "a.csv"), *ROBIN)
    (entry,) = json.loads(run("imports", "--json")[1])
    assert run("undo", entry["import_id"][:8])[0] == 0
    assert json.loads(run("imports", "--json")[1]) == []
    assert run("redo", entry["import_id"][:8])[0] == 0
    assert len(json.loads(run("imports", "--json")[1])) == 1


def test_a_folder_is_searched_but_not_the_store_itself(run, book):
    run("import", str(book / "a.csv"), *ROBIN)
    (book / "b.csv").write_bytes(export(4, start=20))
    code, out, _ = run("import", str(book), *ROBIN)
    assert code == 0
    assert [line.partition(":")[0] for line in out.splitlines()[:-1]] == ["a.csv", "b.csv"]


def test_doctor_finds_a_changed_byte(run, book):
    run("import", str(book / "a.csv"), *ROBIN)
    assert run("doctor")[0] == 0
    (source,) = book.rglob("source.zst")
    source.write_bytes(b"something else")
    code, out, _ = run("doctor")
    assert code == 1
    assert "BAD" in out


def test_erase_asks_and_then_leaves_nothing(run, book, monkeypatch):
    run("import", str(book / "a.csv"), *ROBIN)
    monkeypatch.setattr("sys.stdin", io.StringIO("n\n"))
    assert run("erase", *ROBIN)[0] == 2
    assert run("erase", *ROBIN, "--yes")[0] == 0
    assert [path for path in (book / "book").rglob("*") if "probin" in path.name] == []


def test_the_data_page_of_an_import(run, book):
    run("import", str(book / "a.csv"), *ROBIN)
    (entry,) = json.loads(run("imports", "--json")[1])
    code, out, _ = run("data-page", entry["import_id"][:10], "--json")
    assert code == 0
    assert {column["column"] for column in json.loads(out)["columns"]} >= {"carry_m", "launch_deg"}


def test_whose_says_so_when_all_rows_look_like_the_players_own(run, book):
    run("import", str(book / "a.csv"), *ROBIN)
    assert "looks like Robin's own" in run("whose", *ROBIN)[1]


def test_rows_set_aside_come_out_in_their_layout_and_go_in_again_once_mended(run, book):
    bad = export(12).replace(line(5).encode(), line(5, carry=-4).encode())
    (book / "bad.csv").write_bytes(bad)
    run("import", str(book / "bad.csv"), *ROBIN)
    (entry,) = json.loads(run("imports", "--json")[1])
    mend = book / "mend.csv"
    code, out, _ = run("set-aside", entry["import_id"][:10], "--out", str(mend))
    assert code == 1
    assert "line 6, column Carry (ft): '-4'" in out
    assert mend.read_text("utf-8") == export(1).decode().splitlines()[0] + "\n" + line(5, carry=-4)
    mend.write_text(mend.read_text("utf-8").replace("-4", "44"), "utf-8")
    code, out, _ = run("import", str(mend), *ROBIN)
    assert code == 0
    assert "1 rows in = 1 kept" in out


def test_the_next_step_follows_from_what_happened(run, book):
    """Questions first, then rows set aside; after a refusal no curve is promised."""
    (book / "empty.csv").write_bytes(b"")
    refused = run("import", str(book / "empty.csv"), *ROBIN)[1]
    assert "curve" not in refused
    assert "carrybook preview" in refused
    (book / "nothing").mkdir()
    code, out, _ = run("import", str(book / "nothing"), *ROBIN)
    assert (code, "No export was found" in out) == (2, True)
    bad = export(12).replace(line(5).encode(), line(5, carry=-4).encode())
    (book / "bad.csv").write_bytes(bad)
    assert "carrybook set-aside" in run("import", str(book / "bad.csv"), *ROBIN)[1]
    (book / "asks.csv").write_text("Date,Time,Club,Carry\n2026-05-01,09:00:00,SW,12\n")
    assert "Next: carrybook check" in run("import", str(book / "asks.csv"), *ROBIN)[1]


def test_questions_speak_of_units_as_people_write_them(run, book):
    (book / "asks.csv").write_text("Date,Time,Club,Carry\n2026-05-01,09:00:00,SW,12\n")
    out = run("import", str(book / "asks.csv"), *ROBIN)[1] + run("check")[1]
    assert "one of: m, yd, ft" in out
    assert "_i]" not in out


def test_a_wrong_answer_is_named_with_its_question(run, book):
    (book / "asks.csv").write_text("Date,Time,Club,Carry\n2026-05-01,09:00:00,SW,12\n")
    run("import", str(book / "asks.csv"), *ROBIN)
    (import_id,) = {one["import_id"] for one in json.loads(run("check", "--json")[1])}
    code, _, err = run("check", "--import", import_id, "--answer", "unit:carry_m=furlong")
    assert code == 2
    assert "unit:carry_m" in err
    assert "furlong" in err


def test_a_file_that_cannot_be_written_is_one_sentence(run, book):
    run("import", str(book / "a.csv"), *ROBIN)
    nowhere = str(book / "no such folder" / "card.pdf")
    code, _, err = run("card", *ROBIN, "--out", nowhere)
    assert code == 2
    assert nowhere in err
    assert "Mend:" in err


@pytest.mark.parametrize("name", ["", "   ", "a\nb", "x" * 81])
def test_a_name_nobody_can_read_is_refused(run, name):
    code, _, err = run("players", "add", name)
    assert (code, "[bad_option]" in err) == (2, True)


def test_a_window_that_ends_before_it_begins_is_refused(run, book):
    day = ["conditions", *ROBIN, "--day", "2026-05-01"]
    code, _, err = run(*day, "--window-near", "27ft", "--window-far", "20ft")
    assert (code, "window_near" in err.replace("-", "_")) == (2, True)


def test_a_port_in_use_is_said_before_anything_is_served(run):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        code, out, err = run("serve", "--port", str(taken.getsockname()[1]))
    assert (code, out) == (2, "")
    assert "--port" in err


def test_a_club_is_corrected_to_a_kind_however_it_is_written(run, book):
    run("import", str(book / "a.csv"), *ROBIN)
    out = book / "shots.csv"
    run("export", *ROBIN, "--output", str(out))
    event = out.read_text("utf-8-sig").splitlines()[1].split(",")[0]
    edit = ["edit", "club", event, *ROBIN, "--by", "coach", "--value"]
    code, _, err = run(*edit, "spoon of luck")
    assert (code, "spoon of luck" in err) == (2, True)
    assert run(*edit, "lob wedge")[0] == 0
    curves = json.loads(run("ladder", *ROBIN, "--json")[1])
    assert "LW" in json.dumps(curves)
    assert "lob wedge" not in json.dumps(curves)


def test_an_answered_import_says_what_replaced_it(run, book):
    (book / "asks.csv").write_text("Date,Time,Club,Carry\n2026-05-01,09:00:00,SW,12\n")
    run("import", str(book / "asks.csv"), *ROBIN)
    asked = {one["import_id"] for one in json.loads(run("check", "--json")[1])}.pop()
    questions = [one["id"] for one in json.loads(run("check", "--json")[1])]
    assert "unit:carry_m" in questions
    run("check", "--import", asked, "--answer", "unit:carry_m=m")
    out = run("imports")[1]
    assert f"{asked[:20]}  asks.csv: replaced by" in out
    assert out.count("rows in") == 1


def test_a_language_without_a_catalogue_is_refused(run, book):
    code, _, err = run("sheet", *ROBIN, "--language", "xx", "--out", str(book / "x.pdf"))
    assert (code, "--language" in err) == (2, True)


def test_a_refusal_in_json_says_where(run, book):
    wrong = ["--unit", "carry_m=stone", "--json"]
    code, out, _ = run("import", str(book / "a.csv"), *ROBIN, *wrong)
    (refused,) = json.loads(out)
    assert code == 2
    assert (refused["column"], refused["value"]) == ("units.carry_m", "stone")
    assert {"file", "row", "reason", "mend"} <= refused.keys()


def test_answering_an_import_without_questions_is_refused_in_words(run, book):
    run("conditions", *ROBIN, "--day", "2026-05-01", "--green-speed-ft", "9")
    (entry,) = json.loads(run("imports", "--json")[1])
    code, _, err = run("check", "--import", entry["import_id"], "--answer", "unit:carry_m=yd")
    assert code == 2
    assert "no question open" in err
