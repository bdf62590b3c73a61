"""Rows of several players in one file: asked about, and taken apart as answered."""

import pytest

import ingest.import_large
import ingest.read_columns
import ingest.stream_reading
from ingest.errors import WhoseRows
from ingest.import_file import import_file
from ingest.options import Options
from ingest.players import Player
from ingest.read_export import read_export
from ingest.store import ledgers
from ingest.stream_reading import stream_export

ANA, BEN = (Player(player_id=f"p{n}", display_name=n, zone="UTC") for n in ("ana", "ben"))
ROWS = [f"{k},2026-05-14T10:{k:02d}:00Z,SW,{8 + k / 10:.1f}" for k in range(1, 9)]
NAMES = ["Ana", "Ana", "Ben", "ben ", "Ana", "Ben", "", "Ben"]
TEXT = "\n".join(
    [
        "Shot,Time,Club,Carry (m),Player",
        *(f"{row},{name}" for row, name in zip(ROWS, NAMES, strict=True)),
        "",
    ]
).encode()


def answered(name: str) -> Options:
    return Options(answers={"whose:player": name})


def test_several_players_are_a_question_and_nothing_waits_for_it():
    read = read_export(TEXT, name="a.csv")
    (question,) = read.questions
    assert question.candidates[:3] == ("all", "Ana", "Ben")
    assert question.lines == (2, 3, 4, 5, 6, 7, 9)
    assert read.table.height == 8
    assert read.unknown_columns == ("Player",)


def test_the_rows_of_the_others_are_set_aside():
    read = read_export(TEXT, name="a.csv", options=answered("Ben"))
    assert not read.questions
    assert read.table["source_line"].to_list() == [4, 5, 7, 9]
    assert [(row.line, row.value, row.code) for row in read.set_aside] == [
        *((line, "Ana", "other_player") for line in (2, 3, 6)),
        (8, "", "unnamed_player"),
    ]


def test_all_of_them_may_be_one_players():
    read = read_export(TEXT, name="a.csv", options=answered("all"))
    assert (read.table.height, read.questions, read.set_aside) == (8, (), ())


@pytest.mark.parametrize("names", [["Ana"] * 8, [f"ball {k}" for k in range(8)]])
def test_one_name_or_names_of_rows_are_not_asked_about(names):
    lines = [f"{row},{name}" for row, name in zip(ROWS, names, strict=True)]
    text = "\n".join(["Shot,Time,Club,Carry (m),Name", *lines, ""])
    assert read_export(text.encode(), name="a.csv").questions == ()


def test_each_player_gets_their_own_rows_of_the_same_bytes(tmp_path):
    """The row that names nobody is neither's: it would count twice."""
    import_file(tmp_path, TEXT, ANA, options=answered("Ana"))
    import_file(tmp_path, TEXT, BEN, options=answered("Ben"))
    kept = [ledgers(tmp_path, who.player_id)[0].rows_kept for who in (ANA, BEN)]
    assert kept == [3, 4]


def test_rows_of_one_name_are_for_one_player_however_it_is_written(tmp_path):
    import_file(tmp_path, TEXT, ANA, options=answered("Ana"))
    with pytest.raises(WhoseRows):
        import_file(tmp_path, TEXT, BEN, options=answered(" ana"))


def test_rows_that_one_player_has_all_of_are_no_one_elses(tmp_path):
    import_file(tmp_path, TEXT, ANA)
    with pytest.raises(WhoseRows):
        import_file(tmp_path, TEXT, BEN, options=answered("Ben"))


def test_a_long_file_is_taken_apart_the_same_way(tmp_path, monkeypatch):
    monkeypatch.setattr(ingest.import_large, "LARGE_BYTES", 1)
    file = tmp_path / "a.csv"
    file.write_bytes(TEXT)
    open_ = import_file(tmp_path / "open", file, BEN).ledger
    assert (open_.rows_kept, open_.questions_open) == (8, 1)
    ledger = import_file(tmp_path / "store", file, BEN, options=answered("Ben")).ledger
    assert (ledger.rows_kept, ledger.rows_set_aside, ledger.questions_open) == (4, 4, 0)


def test_players_named_late_in_a_long_file_are_asked_about_too(monkeypatch):
    monkeypatch.setattr(ingest.stream_reading, "HEAD_ROWS", 20)
    monkeypatch.setattr(ingest.read_columns, "_LARGEST_PIECE", 1024)
    monkeypatch.setattr(ingest.read_columns, "_CAREFUL_BYTES", 512)
    names = ["Ana"] * 100 + ["-", "", "Ben"] * 30
    text = "\n".join(
        [
            "Shot,Time,Club,Carry (m),Player",
            *(f"{k},{k},SW,8.{k % 9},{name}" for k, name in enumerate(names, 1)),
            "",
        ]
    ).encode()
    (whole,) = (q for q in read_export(text, name="a.csv").questions if q.kind == "whose")
    with stream_export(text, name="a.csv") as stream:
        assert sum(batch.height for batch in stream.batches()) == len(names)
        (question,) = (q for q in stream.reading().questions if q.kind == "whose")
    assert question.candidates == whole.candidates == ("all", "Ana", "Ben")
    assert question.lines == whole.lines
    with stream_export(text, name="a.csv", options=answered("Ben")) as stream:
        assert sum(batch.height for batch in stream.batches()) == 30
        assert stream.reading().set_aside == tuple(
            read_export(text, name="a.csv", options=answered("Ben")).set_aside
        )
