"""The service's own file: opened by many at once, private, all or nothing."""

import sqlite3
import threading

import pytest

from api.service_state import ServiceState, StateNotWritable


def test_many_may_open_a_new_file_at_once(tmp_path):
    failed = []

    def open_it():
        try:
            ServiceState(tmp_path).close()
        except StateNotWritable as error:
            failed.append(error)

    threads = [threading.Thread(target=open_it) for _ in range(12)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not failed


def test_only_its_user_may_read_it(tmp_path):
    state = ServiceState(tmp_path)
    state.close()
    assert state.path.stat().st_mode & 0o077 == 0


def test_statements_together_happen_all_or_not_at_all(tmp_path):
    state = ServiceState(tmp_path)
    whole = "INSERT INTO changes(at, type, player_id) VALUES ('x', 'y', 'z')"
    broken = "INSERT INTO changes(seq, at, type, player_id) VALUES (:seq, :at, :at, :at)"
    with pytest.raises(sqlite3.IntegrityError):
        state.run_many(broken, [{"seq": 1, "at": "x"}, {"seq": 1, "at": "x"}])
    state.run(whole)
    assert len(state.rows("SELECT * FROM changes")) == 1
    state.close()


class FullDisk:
    """A connection whose next COMMIT fails, as on a full disk."""

    def __init__(self, connection):
        self._connection, self._full = connection, True

    def __getattr__(self, name):
        return getattr(self._connection, name)

    def execute(self, statement, *values):
        if statement == "COMMIT" and self._full:
            self._full = False
            raise sqlite3.OperationalError("database or disk is full")
        return self._connection.execute(statement, *values)


def test_a_failed_commit_leaves_nothing_behind_and_the_next_one_works(tmp_path):
    state = ServiceState(tmp_path)
    state._connection = FullDisk(state._connection)
    insert = "INSERT INTO changes(at, type, player_id) VALUES (:at, 'y', 'z')"
    with pytest.raises(sqlite3.OperationalError):
        state.run_many(insert, [{"at": "first"}])
    state.run_many(insert, [{"at": "second"}])
    assert [row["at"] for row in state.rows("SELECT at FROM changes")] == ["second"]
    state.close()


def test_a_place_that_cannot_be_written_is_named(tmp_path):
    (tmp_path / "store").write_text("a file, not a folder")
    with pytest.raises(StateNotWritable, match="store"):
        ServiceState(tmp_path / "store")
