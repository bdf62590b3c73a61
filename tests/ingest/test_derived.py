"""Derived tables: the newest writing counts, and no two writings share a name."""

import pyarrow as pa

from analytics.store_files import scan
from ingest.derived import KEPT, derived_files, derived_key, write_derived
from ingest.players import Player, save_player
from ingest.store import erase


def test_the_newest_writing_counts_under_a_name_of_its_own(tmp_path, monkeypatch):
    save_player(tmp_path, Player("pada1", "Ada"))
    paths = [
        write_derived(tmp_path, "pada1", "pairs", pa.table({"n": [n]}), f"key {n}")
        for n in range(4)
    ]
    assert len(set(paths)) == 4
    assert derived_key(tmp_path, "pada1", "pairs") == "key 3"
    assert derived_files(tmp_path, "pada1", "pairs") == paths
    monkeypatch.setattr("ingest.derived.READERS_DONE_S", -1.0)
    paths.append(write_derived(tmp_path, "pada1", "pairs", pa.table({"n": [4]}), "key 4"))
    assert derived_files(tmp_path, "pada1", "pairs") == paths[-KEPT:]
    assert scan(tmp_path, "pada1").pairs == [str(paths[-1])]


def test_nothing_derived_stays_of_a_player_who_was_erased_while_it_was_computed(tmp_path):
    save_player(tmp_path, Player("pada1", "Ada"))
    erase(tmp_path, "pada1")
    write_derived(tmp_path, "pada1", "pairs", pa.table({"n": [1]}), "key")
    assert [path for path in tmp_path.rglob("*") if "pada1" in str(path)] == []


def test_nothing_derived_is_no_key(tmp_path):
    assert derived_key(tmp_path, "pada1", "pairs") is None
