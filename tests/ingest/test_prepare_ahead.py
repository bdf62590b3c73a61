"""Many files prepared by worker processes come in as one by one: rows, order, errors."""

from contextlib import closing

import pytest

import ingest.prepare_ahead
from api.take_in import Refused, take_in
from ingest.options import Options
from ingest.prepare_ahead import prepared_ahead
from schemas.store_paths import tmp_dir
from tests.ingest.test_import_file import HEADER, ROBIN, line


@pytest.fixture
def many_files(tmp_path):
    """Good files, one with a row set aside, one given twice, one unreadable and one not there."""
    folder = tmp_path / "files"
    folder.mkdir()
    paths = [folder / f"{k:02d}.csv" for k in range(20)]
    for k, path in enumerate(paths):
        rows = [line(60 * k + n) for n in range(1, 31)]
        path.write_text(HEADER + "".join(rows), "utf-8")
    paths[3].write_text(HEADER + line(1) + line(2, carry=-4) + line(3) + line(4), "utf-8")
    paths[7].write_bytes(paths[6].read_bytes())
    paths[11].write_bytes(b"%PDF-1.7 not a table")
    paths[13].write_text("one,two\nthree,four\nfive,six\n", "utf-8")
    paths[17].unlink()
    return paths


def told(outcomes):
    return [
        (one.source_name, one.error.code, str(one.error))
        if isinstance(one, Refused)
        else (one.source_name, one.ledger.import_id, one.new, one.overlap)
        for one in outcomes
    ]


def rows_in(store):
    found = {}
    for path in sorted(store.glob("v1/player=*/import=*/*")):
        if path.name != "import.json":
            found[str(path.relative_to(store))] = path.read_bytes()
    return found


@pytest.fixture
def two_workers(monkeypatch):
    monkeypatch.setattr(ingest.prepare_ahead, "FILES_WORTH_WORKERS", 2)
    monkeypatch.setattr(ingest.prepare_ahead, "MOST_WORKERS", 2)
    monkeypatch.setattr(ingest.prepare_ahead, "FILES_PER_JOB", 3)


def test_the_same_as_one_by_one(tmp_path, many_files, two_workers, monkeypatch):
    quick = take_in(tmp_path / "quick", many_files, ROBIN, options=Options(units={"carry_m": "m"}))
    monkeypatch.setattr(ingest.prepare_ahead, "FILES_WORTH_WORKERS", 1000)
    plain = take_in(tmp_path / "plain", many_files, ROBIN, options=Options(units={"carry_m": "m"}))
    assert told(quick) == told(plain)
    assert [type(one) for one in quick].count(Refused) == 3
    assert rows_in(tmp_path / "quick") == rows_in(tmp_path / "plain")
    assert list(tmp_dir(tmp_path / "quick").iterdir()) == []


def test_what_is_not_taken_is_removed(tmp_path, many_files, two_workers):
    with closing(prepared_ahead(tmp_path, many_files, ROBIN, None)) as coming:
        first = next(coming)
        assert first is not None
        assert first.ledger.rows_kept == 30
        first.discard()
    left = len(list(tmp_dir(tmp_path).iterdir()))
    assert left == 0


def test_without_workers_every_file_is_left_to_the_caller(tmp_path, many_files, monkeypatch):
    monkeypatch.setattr(ingest.prepare_ahead, "FILES_WORTH_WORKERS", 2)
    monkeypatch.setattr(ingest.prepare_ahead, "_one_thread_each", _dies)
    assert list(prepared_ahead(tmp_path, many_files, ROBIN, None)) == [None] * len(many_files)


def _dies():
    raise SystemExit(1)
