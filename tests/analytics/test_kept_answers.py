"""Kept answers: the same rows are asked once, other rows never share an answer."""

import pyarrow as pa
import pytest

from analytics import db
from analytics.kept_answers import KeptAnswers
from ingest.edits import Correction, correct
from tests.api.pages.demo_store import fill

TOBIAS = "q3fk82"


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    folder = tmp_path_factory.mktemp("kept") / "store"
    fill(folder, ("Tobias", "Petra"))
    return folder


def table(n: int) -> pa.Table:
    return pa.table({"x": pa.array(range(n), pa.int64())})


def test_the_least_used_answer_goes_when_there_is_no_room():
    kept = KeptAnswers(limit_bytes=8 * 8 * 10)
    for name in range(9):
        kept.put(name, table(10))
        kept.get(0)
    assert kept.get(0) is not None
    assert kept.get(1) is None
    kept.put("large", table(100))
    assert kept.get("large") is None
    kept.forget()
    assert kept.get(0) is None


def counts(store, player_id: str | None) -> list[dict[str, object]]:
    with db.open_store(store, player_id) as con:
        return db.ask(con, "player_counts", {"player_id": TOBIAS}).to_pylist()


def test_an_answer_is_kept_and_a_correction_shows_at_once(store):
    first = counts(store, TOBIAS)
    assert counts(store, TOBIAS) == first
    with db.open_store(store, TOBIAS) as con:
        event = con.sql("SELECT event_id FROM shots WHERE strike IS NULL LIMIT 1").fetchall()[0][0]
        asked = {"player_id": TOBIAS}
        assert db.ask(con, "player_counts", asked) is db.ask(con, "player_counts", asked)
    correct(store, TOBIAS, [Correction("exclude", event)], by="test")
    [after] = counts(store, TOBIAS)
    assert after["n_shots"] == first[0]["n_shots"] - 1


def test_rows_held_in_memory_answer_as_the_files_do(store):
    questions = ("player_counts", "last_ball", "newest_marks", "newest_conditions")
    alone = {}
    for question in questions:
        db.forget_answers()
        with db.open_store(store, TOBIAS) as con:
            alone[question] = db.ask(con, question, {"player_id": TOBIAS}).to_pylist()
    db.forget_answers()
    with db.open_store(store, TOBIAS) as con:
        together = {q: db.ask(con, q, {"player_id": TOBIAS}).to_pylist() for q in questions}
        held = con.sql("SELECT count(*) FROM held_swings").fetchall()[0][0]
    assert held > 0
    assert together == alone


def test_a_connection_with_views_of_its_own_shares_nothing(store):
    db.forget_answers()
    asked = {"player_id": TOBIAS}
    with db.open_store(store, TOBIAS) as con:
        db.stand_apart(con)
        con.execute(
            "CREATE OR REPLACE TEMP VIEW marks AS SELECT * REPLACE (77 AS ball_number), "
            "CAST(NULL AS DATE) AS day FROM stored_marks"
        )
        assert set(db.ask(con, "newest_marks", asked)["ball_number"].to_pylist()) == {77}
    with db.open_store(store, TOBIAS) as con:
        assert set(db.ask(con, "newest_marks", asked)["ball_number"].to_pylist()) != {77}
