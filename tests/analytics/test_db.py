"""Opening a store for questions: what stands, what stood, and corrections as views."""

from datetime import UTC, datetime

import pyarrow as pa
import pytest

from analytics.db import ask, in_memory, open_store
from analytics.errors import NoSuchPlayer, RowsMoved
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from ingest.store import undo
from schemas.tables import TABLES, arrow_schema


def rows(table: str, *given: dict[str, object]) -> pa.Table:
    schema = arrow_schema(table).append(pa.field("player_id", pa.string()))
    schema = pa.schema([field.with_nullable(True) for field in schema])
    return pa.Table.from_pylist([dict.fromkeys(schema.names) | row for row in given], schema=schema)


def test_views_of_an_absent_store_are_empty_and_typed(tmp_path):
    connection = open_store(tmp_path / "nowhere")
    for table in TABLES:
        assert connection.sql(f"SELECT count(*) FROM {table}").fetchall() == [(0,)]


def test_an_unknown_player_is_an_error_with_a_mend(tmp_path):
    with pytest.raises(NoSuchPlayer, match="Mend"):
        open_store(tmp_path, "nobody")


def test_rows_taken_back_while_they_are_read_are_said_to_have_moved(tmp_path):
    save_player(tmp_path, Player("pada1", "Ada"))
    at = datetime(2026, 5, 1, 10, tzinfo=UTC)
    rows_of_one = [{"entry_id": "hand-1", "struck_at_utc": at, "club": "SW", "carry_m": 7.0}]
    kept = enter(tmp_path, "pada1", "shots", rows_of_one)
    connection = open_store(tmp_path, "pada1")
    undo(tmp_path, "pada1", kept.import_id)
    with pytest.raises(RowsMoved, match="Ask again"):
        ask(connection, "session_days", {"player_id": "pada1"})
    assert ask(open_store(tmp_path, "pada1"), "session_days", {"player_id": "pada1"}).num_rows == 0


def test_corrections_are_applied_by_the_views_and_the_newest_wins():
    at = datetime(2026, 5, 1, 10, tzinfo=UTC)
    shot = {"player_id": "pa", "import_id": "i", "struck_at_utc": at, "club": "SW"}
    edit = {"player_id": "pa", "target": "shots", "edited_by": "c"}
    connection = in_memory(
        {
            "shots": rows(
                "shots",
                shot | {"event_id": "1"},
                shot | {"event_id": "2"},
                shot | {"event_id": "3"},
            ),
            "edits": rows(
                "edits",
                edit | {"target_id": "1", "action": "mishit", "edited_at_utc": at},
                edit | {"target_id": "2", "action": "exclude", "edited_at_utc": at},
                edit | {"target_id": "3", "action": "club", "value": "PW", "edited_at_utc": at},
                edit
                | {
                    "target_id": "3",
                    "action": "club",
                    "value": "GW",
                    "edited_at_utc": at.replace(hour=11),
                },
            ),
        }
    )
    found = connection.sql("SELECT event_id, club, strike FROM shots ORDER BY event_id").fetchall()
    assert found == [("1", "SW", "mishit"), ("3", "GW", None)]
    assert connection.sql("SELECT count(*) FROM shots_all").fetchall() == [(3,)]


def test_a_local_day_makes_the_session():
    at = datetime(2026, 5, 1, 23, 30, tzinfo=UTC)
    connection = in_memory(
        {
            "shots": rows("shots", {"player_id": "pa", "event_id": "1", "struck_at_utc": at}),
            "players": pa.table({"player_id": ["pa"], "zone": ["Europe/Madrid"]}),
        }
    )
    assert connection.sql("SELECT session_id FROM shots").fetchall() == [("pa:2026-05-02",)]


def test_a_question_that_does_not_exist_is_no_silent_answer():
    with pytest.raises(FileNotFoundError):
        ask(in_memory({}), "no_such_question")


def test_nothing_is_spilt_into_the_working_folder(tmp_path):
    for connection in (in_memory({}), open_store(tmp_path)):
        ((place,),) = connection.sql("SELECT current_setting('temp_directory')").fetchall()
        assert "carrybook-spill" in place
