"""A large export, read piece by piece, gives what the careful way gives."""

import gzip
import io
import zipfile

import polars as pl
import pytest
import zstandard

import ingest.import_large
import ingest.read_columns
from ingest.import_file import import_file
from ingest.import_large import is_large
from ingest.options import Options
from ingest.store import ledgers, undo
from schemas.store_paths import tmp_dir
from tests.ingest.test_half_times import text as half_times
from tests.ingest.test_import_file import HEADER, ROBIN, export, line, take


@pytest.fixture
def piecewise(monkeypatch):
    monkeypatch.setattr(ingest.import_large, "LARGE_BYTES", 0)
    monkeypatch.setattr(ingest.read_columns, "_LARGEST_PIECE", 4096)


def rows_of(store):
    (path,) = store.glob("v1/player=probin/import=*/shots.parquet")
    return pl.read_parquet(path)


def both(tmp_path, monkeypatch, text: str):
    file = tmp_path / "a.csv"
    file.write_text(text, "utf-8")
    careful = take(tmp_path / "careful", file.read_bytes())
    monkeypatch.setattr(ingest.import_large, "LARGE_BYTES", 0)
    monkeypatch.setattr(ingest.read_columns, "_LARGEST_PIECE", 4096)
    quick = import_file(tmp_path / "quick", file, ROBIN, name="a.csv", options=Options())
    return careful, quick


def in_order(n: int) -> str:
    return export(n).decode()


def backwards(n: int) -> str:
    return HEADER + "".join(line(k) for k in range(n, 0, -1))


def with_ties_and_faults(n: int) -> str:
    lines = [line(k) for k in range(1, n + 1)]
    lines[40] = line(41, carry=-4)
    lines[200] = lines[199]
    lines[300:302] = [lines[300], lines[300].replace("301,", "302,", 1)]
    return HEADER + "".join(lines)


def with_half_times(n: int) -> str:
    return half_times(n).decode()


@pytest.mark.parametrize("text", [in_order, backwards, with_ties_and_faults, with_half_times])
def test_piece_by_piece_is_the_same_as_whole(tmp_path, monkeypatch, text):
    careful, quick = both(tmp_path, monkeypatch, text(900))
    assert quick.ledger.import_id == careful.ledger.import_id
    for name in ("rows_in", "rows_kept", "rows_set_aside", "rows_repeated", "questions_open"):
        assert getattr(quick.ledger, name) == getattr(careful.ledger, name), name
    assert rows_of(tmp_path / "quick").equals(rows_of(tmp_path / "careful"))
    assert list(tmp_dir(tmp_path / "quick").iterdir()) == []


def gzipped(data: bytes) -> bytes:
    return gzip.compress(data)


def zstandardised(data: bytes) -> bytes:
    return zstandard.ZstdCompressor().compress(data)


def zipped(data: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("day/a.csv", data)
    return out.getvalue()


PACKED = {"a.csv.gz": gzipped, "a.csv.zst": zstandardised, "a.zip": zipped}


@pytest.mark.parametrize("name", PACKED)
def test_a_packed_text_is_read_piece_by_piece_too(tmp_path, monkeypatch, name):
    packed = PACKED[name](export(900))
    careful = take(tmp_path / "careful", packed)
    monkeypatch.setattr(ingest.import_large, "LARGE_BYTES", len(export(900)))
    monkeypatch.setattr(ingest.read_columns, "_LARGEST_PIECE", 4096)
    monkeypatch.setattr(ingest.import_file, "prepare", None)  # the whole way is closed
    file = tmp_path / name
    file.write_bytes(packed)
    quick = import_file(tmp_path / "quick", file, ROBIN, options=Options())
    assert quick.ledger.import_id == careful.ledger.import_id
    assert rows_of(tmp_path / "quick").equals(rows_of(tmp_path / "careful"))


@pytest.mark.parametrize("name", ["a.jsonl.gz", "a.xlsx", "a.parquet", "a.csv.gz", "a.zip"])
def test_what_is_no_long_text_is_read_whole(tmp_path, name):
    file = tmp_path / name
    file.write_bytes(b"\x1f\x8b" if name.endswith("gz") else b"PK\x03\x04")
    assert not is_large(file)


def test_a_second_large_file_counts_what_is_known(tmp_path, piecewise):
    for n, expected in ((300, (300, 0)), (500, (200, 300))):
        file = tmp_path / f"{n}.csv"
        file.write_bytes(export(n))
        found = import_file(tmp_path / "store", file, ROBIN, options=Options())
        assert (found.overlap.new, found.overlap.same) == expected


def test_a_large_file_of_no_known_kind_leaves_nothing_behind(tmp_path, piecewise):
    file = tmp_path / "a.csv"
    file.write_text("one,two\n" + "three,four\n" * 500, "utf-8")
    with pytest.raises(Exception, match="Mend"):
        import_file(tmp_path / "store", file, ROBIN, options=Options())
    assert [path for path in (tmp_path / "store").rglob("*") if path.is_file()] == []


def test_earlier_options_taken_again_stand_again(tmp_path):
    plain = export(12).replace(b"Carry (ft)", b"Carry")
    first = take(tmp_path, plain, units={"carry_m": "m"})
    second = take(tmp_path, plain, units={"carry_m": "ft"})
    again = take(tmp_path, plain, units={"carry_m": "m"})
    assert again.ledger.import_id == first.ledger.import_id
    assert [one.import_id for one in ledgers(tmp_path, ROBIN.player_id)] == [first.ledger.import_id]
    undo(tmp_path, ROBIN.player_id, first.ledger.import_id)
    assert second.ledger.supersedes == first.ledger.import_id


def test_a_second_round_that_fails_leaves_nothing_behind(tmp_path, monkeypatch, piecewise):
    def fails(*_):
        raise OSError("the disk went away")

    monkeypatch.setattr(ingest.import_large, "identify_by_round", fails)
    file = tmp_path / "a.csv"
    file.write_text(backwards(900), "utf-8")
    with pytest.raises(OSError, match="went away"):
        import_file(tmp_path / "store", file, ROBIN, name="a.csv", options=Options())
    assert list(tmp_dir(tmp_path / "store").iterdir()) == []
