"""Containers and limits: what is packed is opened, what is too much or damaged is refused."""

import gzip
import io
import time
import zipfile
from pathlib import Path

import pytest
import zstandard

from ingest import containers
from ingest.errors import IngestError, NotReadable, NotTabular, TooLarge
from ingest.read_columns import read_columns
from ingest.read_csv import read_sheets
from ingest.sheet import lines_covered

TABLE = b"Shot,Club,Carry\n1,SW,12.5\n2,SW,13.0\n"


def zipped(**files: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name.replace("__", "."), data)
    return out.getvalue()


@pytest.mark.parametrize(
    "data",
    [
        gzip.compress(TABLE),
        zstandard.compress(TABLE),
        zipped(a__csv=TABLE),
        zipped(**{"__MACOSX/._a.csv": b"x", "folder/a.csv": TABLE, "folder/.hidden": b"x"}),
    ],
)
def test_packed_files_are_opened_as_they_are(data):
    (sheet,) = read_sheets(data)
    assert len(sheet.records) == 2
    with read_columns(data) as columns:
        assert sum(len(batch.lines) for batch in columns.batches()) == 2


@pytest.mark.parametrize(
    ("data", "error", "says"),
    [
        (b"", NotTabular, "empty"),
        (b"\n\n \n", NotTabular, "empty"),
        (b"just some words", NotTabular, "no columns"),
        (b"%PDF-1.7 ...", NotReadable, "PDF"),
        (b"<!DOCTYPE html><table>", NotTabular, "web page"),
        (gzip.compress(TABLE * 50)[:-20], NotReadable, "damaged"),
        (zipped(a__csv=TABLE, b__csv=TABLE), NotReadable, "2 files"),
        (zipped(a__csv=TABLE)[:60], NotReadable, "damaged"),
        (b"PAR1 but not really", NotReadable, "damaged"),
        (b"\xd0\xcf\x11\xe0 but not a workbook", NotReadable, "damaged"),
    ],
)
def test_what_cannot_be_read_is_refused_with_a_reason(data, error, says):
    with pytest.raises(error, match=says) as caught:
        read_sheets(data, name="odd.csv")
    assert caught.value.file == "odd.csv"
    assert caught.value.mend


def test_a_missing_file_is_named(tmp_path):
    with pytest.raises(NotReadable, match=r"nowhere\.csv"):
        read_sheets(tmp_path / "nowhere.csv")


BOMB = TABLE + b"3,SW,13.0\n" * (8 * 2**20)
"""A table of 84 MB that packs to some hundred kB."""


def test_a_zip_bomb_is_refused_while_it_unpacks():
    data = zipped(a__csv=BOMB)
    with pytest.raises(TooLarge, match="more than"):
        read_sheets(data, name="bomb.zip")
    with pytest.raises(TooLarge, match="times its size"), read_columns(data) as sheet:
        list(sheet.batches())


def test_a_gzip_bomb_is_refused_while_it_unpacks():
    data = gzip.compress(BOMB)
    with pytest.raises(TooLarge, match="times its size"), read_columns(data) as sheet:
        list(sheet.batches())


def test_a_workbook_that_unpacks_too_far_is_refused():
    data = zipped(**{"xl/workbook.xml": b"x", "xl/worksheets/sheet1.xml": b"0" * (90 * 2**20)})
    with pytest.raises(TooLarge, match="times its size"):
        read_sheets(data)


def sparse(path: Path, start: bytes, size: int) -> Path:
    """A file of `size` bytes that takes hardly any room on the disk."""
    with path.open("wb") as out:
        out.write(start)
        out.truncate(size)
    return path


def test_two_gigabytes_are_refused_by_the_whole_reader(tmp_path):
    path = sparse(tmp_path / "huge.csv", TABLE, 2 * 2**30)
    with pytest.raises(TooLarge, match="64 MB"):
        read_sheets(path)


def test_a_line_without_end_is_refused_in_columns(tmp_path):
    path = sparse(tmp_path / "huge.csv", TABLE, 2 * 2**30)
    with pytest.raises(IngestError), read_columns(path) as sheet:
        list(sheet.batches())


def test_more_than_the_limit_is_refused_while_streaming(monkeypatch):
    monkeypatch.setattr(containers, "BLOCK_BYTES", 1000)
    blocks = containers.unpacked(io.BytesIO(b"x" * 10_000), "f", limit=4_000)
    taken = []
    with pytest.raises(TooLarge):
        taken.extend(blocks)
    assert sum(map(len, taken)) <= 4_000


@pytest.mark.parametrize(
    "line",
    [
        b'"a,' * 60_000,
        b"," * 900_000,
        b'"' * 900_000,
        b'"a"b",' * 4_000,
        b" " * 900_000,
        b'1,"a,b"c\n' * 20_000,
        b'"a,b\nx"y,1,2\n' * 5_000,
        b"Average,x,y\n" * 20_000,
    ],
    ids=lambda line: repr(line[:12]),
)
def test_hostile_lines_take_no_time(line):
    rows = b"".join(b"%d,SW,12.5\n" % i for i in range(300))
    started = time.process_time()
    (sheet,) = read_sheets(b"Shot,Club,Carry\n" + rows + line + b"\n" + rows)
    assert time.process_time() - started < 2
    assert len(sheet.records) >= 600
    assert lines_covered(sheet) == list(range(1, sheet.n_lines + 1))


def test_a_line_longer_than_any_row_is_named():
    with pytest.raises(TooLarge, match=r"longer than any row") as caught:
        read_sheets(TABLE + b"1,SW," + b"9" * 2_000_000)
    assert caught.value.row == 4


def test_rows_with_long_cells_are_all_read():
    rows = "".join(f"{i},SW,{'long ' * 6_000}\n" for i in range(120))
    (sheet,) = read_sheets(("Shot,Club,Note\n" + rows).encode())
    assert len(sheet.records) == 120
