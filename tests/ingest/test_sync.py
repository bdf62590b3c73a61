"""Files are made to last one by one or by one call, and never by none."""

import sys

import pytest

import ingest.sync
from ingest.sync import FILES_WORTH_ONE_CALL, sync_all


@pytest.fixture
def calls(monkeypatch):
    seen = []
    monkeypatch.setattr(ingest.sync, "sync", lambda path: seen.append(("one", path)))
    whole = ingest.sync._sync_file_system

    def watched(path):
        done = whole(path)
        seen.append(("all", done))
        return done

    monkeypatch.setattr(ingest.sync, "_sync_file_system", watched)
    return seen


def files(folder, n):
    paths = [folder / str(k) for k in range(n)]
    for path in paths:
        path.write_text("x", "utf-8")
    return paths


def test_a_few_are_synced_one_by_one(tmp_path, calls):
    paths = files(tmp_path, 4)
    sync_all(paths)
    assert calls == [("one", path) for path in paths]


def test_many_share_one_call_where_there_is_one(tmp_path, calls):
    paths = files(tmp_path, FILES_WORTH_ONE_CALL)
    sync_all(paths)
    linux = sys.platform == "linux"
    assert calls == ([("all", True)] if linux else [("all", False), *(("one", p) for p in paths)])


def test_many_are_synced_one_by_one_where_there_is_no_such_call(tmp_path, calls, monkeypatch):
    monkeypatch.setattr(sys, "platform", "elsewhere")
    paths = files(tmp_path, FILES_WORTH_ONE_CALL)
    sync_all(paths)
    assert calls == [("all", False), *(("one", path) for path in paths)]
