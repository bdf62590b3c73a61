"""The store: one rename, nothing twice, every step undone."""

import hashlib
import os
from datetime import UTC, datetime

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from ingest.errors import StoreNotWritable, UnknownImport, UnknownPlayer
from ingest.ledger import Ledger, import_identity
from ingest.players import Player, find_player, save_player
from ingest.store import (
    Batch,
    Pending,
    commit,
    erase,
    find_import,
    ledgers,
    read_ledger,
    read_source,
    redo,
    undo,
)
from schemas.store_paths import player_dir, tmp_dir
from schemas.tables import arrow_schema

PLAYER = "pabc"


def pending(source: bytes = b"abc") -> Pending:
    table = arrow_schema("shots").empty_table()
    identity = import_identity(hashlib.sha256(source).hexdigest(), PLAYER, "plain@1", {})
    ledger = Ledger(
        import_id=identity,
        player_id=PLAYER,
        kind="launch",
        source_name="a.csv",
        source_sha256=hashlib.sha256(source).hexdigest(),
        source_bytes=len(source),
        layout="plain@1",
        imported_at_utc=datetime(2026, 5, 1, tzinfo=UTC).isoformat(),
        imported_by="test",
        rows_in=0,
        rows_kept=0,
        rows_set_aside=0,
        rows_repeated=0,
        questions_open=0,
        tables=["shots"],
    )
    return Pending(ledger, {"shots": table}, source)


def test_committing_twice_is_committing_once(tmp_path):
    first, second = commit(tmp_path, pending()), commit(tmp_path, pending())
    assert (first.new, second.new) == (True, False)
    assert first.folder == second.folder
    assert list(tmp_dir(tmp_path).iterdir()) == []


def test_all_that_an_import_holds_appears_together(tmp_path):
    folder = commit(tmp_path, pending()).folder
    assert read_source(folder) == b"abc"
    assert read_ledger(folder).rows_in == 0
    field = pq.read_schema(folder / "shots.parquet").field("carry_m")
    assert field.metadata[b"unit"] == b"m"


def test_nothing_is_visible_before_a_batch_commits(tmp_path):
    batch = Batch(tmp_path)
    for source in (b"a", b"b"):
        batch.add(pending(source))
    assert ledgers(tmp_path, PLAYER) == []
    batch.commit()
    assert len(ledgers(tmp_path, PLAYER)) == 2


def test_undo_then_redo_gives_the_same_folder_back(tmp_path):
    committed = commit(tmp_path, pending())
    before = {path.name: path.read_bytes() for path in committed.folder.iterdir()}
    undo(tmp_path, PLAYER, committed.import_id)
    assert not committed.folder.exists()
    assert len(ledgers(tmp_path, PLAYER, undone=True)) == 1
    redo(tmp_path, PLAYER, committed.import_id)
    assert {path.name: path.read_bytes() for path in committed.folder.iterdir()} == before
    with pytest.raises(UnknownImport):
        undo(tmp_path, PLAYER, "f" * 32)


def test_an_import_is_found_by_the_start_of_its_name(tmp_path):
    committed = commit(tmp_path, pending())
    assert find_import(tmp_path, committed.import_id[:6]) == (PLAYER, committed.import_id)
    with pytest.raises(UnknownImport):
        find_import(tmp_path, "../..")


def test_a_write_that_fails_leaves_nothing_behind(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("ingest.store.pack_source", full)
    with pytest.raises(StoreNotWritable, match="No space left"):
        commit(tmp_path, pending())
    assert list(tmp_dir(tmp_path).iterdir()) == []


def test_what_a_later_version_notes_of_a_player_is_passed_over(tmp_path):
    save_player(tmp_path, Player(PLAYER, "Robin"))
    card = player_dir(tmp_path, PLAYER) / "player.json"
    card.write_text(card.read_text().replace("{", '{ "shoe_size": 42,', 1))
    assert find_player(tmp_path, "Robin") == Player(PLAYER, "Robin")


def test_erase_leaves_no_byte_of_a_player(tmp_path):
    save_player(tmp_path, Player(PLAYER, "Robin"))
    undo(tmp_path, PLAYER, commit(tmp_path, pending()).import_id)
    commit(tmp_path, pending(b"other"))
    assert erase(tmp_path, PLAYER)
    left = [path for path in tmp_path.rglob("*") if PLAYER in str(path)]
    assert left == []


def test_a_store_that_is_a_file_or_cannot_be_written_says_so(tmp_path):
    (tmp_path / "store").mkdir(mode=0o500)
    if os.geteuid() == 0:  # root may write anywhere: a read-only place is made of /proc
        with pytest.raises(StoreNotWritable, match="Mend"):
            commit(type(tmp_path)("/proc/self/store"), pending())
    else:
        with pytest.raises(StoreNotWritable, match="Mend"):
            commit(tmp_path / "store", pending())


def test_players_are_found_by_id_or_name_and_never_by_guess(tmp_path):
    save_player(tmp_path, Player("pone", "Robin"))
    save_player(tmp_path, Player("ptwo", "Robin"))
    save_player(tmp_path, Player("pthree", "Sam"))
    assert find_player(tmp_path, "sam").player_id == "pthree"
    with pytest.raises(UnknownPlayer, match="pone, ptwo"):
        find_player(tmp_path, "Robin")
    with pytest.raises(UnknownPlayer):
        find_player(tmp_path, "../pone")


def test_metadata_survive_arrow_round_trip():
    assert pa.ipc.read_schema(arrow_schema("shots").serialize()) == arrow_schema("shots")
