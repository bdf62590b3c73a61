"""A file that stops inside its last cell: the row is set aside, whichever way it is read."""

import pytest

from ingest.cut_short import is_cut_short
from ingest.read_columns import read_columns
from ingest.read_csv import read_sheets
from ingest.read_export import read_export
from ingest.stream_reading import stream_export

HEADER = "Shot,Club,Carry (m)\n"


def text(last: str) -> bytes:
    rows = "".join(f"{k},SW,{8 + k % 9 / 10:.1f}\n" for k in range(1, 31))
    return (HEADER + rows + last).encode()


@pytest.mark.parametrize(
    ("last", "before", "cut"),
    [
        ("12", ["9.1", "10.2", "9.9", "11.4", "8.8"], True),
        ("12.", ["9.1", "10.2", "9.9", "11.4", "8.8"], True),
        ("12.3", ["9.1", "10.2", "9.9", "11.4", "8.8"], False),
        ("12", ["9.1", "10", "9.9", "11.4", "8.8"], False),
        ("12", ["9.1", "10.2"], False),
        ("2026-05-14 10:2", [f"2026-05-14 10:2{k}" for k in range(6)], True),
        ("SW", ["SW"] * 6, False),
        ("", ["9.1"] * 6, False),
    ],
)
def test_the_rows_before_tell(last, before, cut):
    assert is_cut_short(last, before) == cut


@pytest.mark.parametrize(("last", "n_faults"), [("31,SW,8", 1), ("31,SW,8.4", 0), ("31,SW,8\n", 0)])
def test_both_ways_of_reading_agree(last, n_faults):
    (sheet,) = read_sheets(text(last), name="a.csv")
    assert [fault.code for fault in sheet.faults] == ["truncated_cell"] * n_faults
    assert len(sheet.records) == 31 - n_faults
    with read_columns(text(last), name="a.csv") as columns:
        n_rows = sum(batch.frame.height for batch in columns.batches())
    assert n_rows == len(sheet.records)
    assert [fault.line for fault in columns.faults] == [fault.line for fault in sheet.faults]


@pytest.mark.parametrize("above", ["", "Pitching Wedge\n"])
def test_the_cell_that_was_cut_is_named(above):
    """Also where a heading between the rows gives the table a column of its own."""
    source = text("31,SW,9.3\n" + above + "32,SW,9.2\n33,SW,8").replace(b",Club,", b",Note,")
    (aside,) = read_export(source, name="a.csv").set_aside
    assert (aside.code, aside.column, aside.value) == ("truncated_cell", "Carry (m)", "8")
    with stream_export(source, name="a.csv") as stream:
        assert sum(batch.height for batch in stream.batches()) == 32
        assert stream.reading().set_aside == (aside,)
