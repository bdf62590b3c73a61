"""What a question may reach and how much it may take, whatever is in it."""

import subprocess
import sys

import duckdb
import pytest

from analytics import db
from analytics.errors import RowsMoved, TooMuchAtOnce
from analytics.store_files import StoreFiles
from ingest.players import Player, save_player

OUTWARD = [
    "SELECT * FROM read_text('{outside}/names.csv')",
    "SELECT * FROM read_csv('{outside}/names.csv')",
    "SELECT * FROM read_blob('{store}/service.sqlite')",
    "SELECT * FROM read_text('{store}/v1/../service.sqlite')",
    "SELECT * FROM '{outside}/*.csv'",
    "COPY (SELECT 1) TO '{outside}/out.csv'",
    "ATTACH '{outside}/out.db'",
    "INSTALL httpfs",
    "LOAD '{outside}/evil.duckdb_extension'",
    "SET enable_external_access = true",
    "SET allowed_directories = ['/']",
    "SET memory_limit = '1TB'",
    "SET threads = 64",
    "SET lock_configuration = false",
    "RESET memory_limit",
]


@pytest.fixture
def store(tmp_path):
    """A store of one player."""
    folder = tmp_path / "store"
    save_player(folder, Player("pada1", "Ada"))
    (folder / "service.sqlite").write_bytes(b"keys")
    (tmp_path / "names.csv").write_text("name\nAda\n")
    return folder


@pytest.mark.parametrize("player_id", ["pada1", None])
@pytest.mark.parametrize("statement", OUTWARD)
def test_nothing_outside_the_tables_is_reached_and_no_limit_is_moved(store, player_id, statement):
    hostile = statement.format(store=store, outside=store.parent)
    with db.open_store(store, player_id) as con, pytest.raises(duckdb.Error):
        con.execute(hostile).fetchall()
    assert {path.name for path in store.parent.iterdir()} == {"store", "names.csv"}


def test_the_limits_stand(store):
    asked = "SELECT current_setting('threads'), current_setting('memory_limit')"
    with db.open_store(store, "pada1") as one, db.open_store(store) as everybody:
        assert one.execute(asked).fetchall() == [(1, "1.0 GiB")]
        assert everybody.execute(asked).fetchall()[0][1] != ""


def test_what_does_not_fit_is_refused_with_a_mend(store, monkeypatch):
    monkeypatch.setitem(db.OF_ONE, "memory_limit", "80MiB")
    monkeypatch.setattr(db, "_databases", {})
    greedy = "SELECT list(i || 'text') AS l FROM range(9000000) t(i)"
    with db.open_store(store, "pada1") as con:
        monkeypatch.setattr(db, "sql", lambda _: greedy)
        with pytest.raises(TooMuchAtOnce, match="fewer rows"):
            db.ask(con, "greedy")


GREEDY = """
import resource, sys
from pathlib import Path
from analytics import db
db.OF_ONE["memory_limit"] = "100MiB"
with db.open_store(Path(sys.argv[1]), "pada1") as con:
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    rows = "SELECT hash(i) AS h, i || 'text beside it' AS t FROM range(6000000) r(i) ORDER BY h"
    found = con.execute(f"SELECT count(*), max(h) FROM ({rows} LIMIT 5900000)").fetchall()
    assert found[0][0] == 5900000
    print((resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024)
"""


def test_a_large_sort_is_spilt_and_the_process_stays_small(store):
    command = [sys.executable, "-c", GREEDY, str(store)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=120)
    assert int(done.stdout) < 250, "MiB beyond the start"


def test_rows_moved_while_they_are_looked_for_are_said_to_have_moved(store, monkeypatch):
    files = StoreFiles(tables={"shots": [str(store / "v1" / "gone.parquet")]})
    monkeypatch.setattr(db, "scan", lambda *_: files)
    with pytest.raises(RowsMoved, match="Ask again"):
        db.open_store(store, "pada1")

    def gone(*_):
        raise FileNotFoundError

    monkeypatch.setattr(db, "scan", gone)
    with pytest.raises(RowsMoved, match="Ask again"):
        db.open_store(store, "pada1")
