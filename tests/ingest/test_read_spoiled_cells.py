"""One mistake anywhere in a table costs one row at most, and that row is named."""

import pytest

from ingest.read_columns import read_columns
from ingest.read_csv import read_text
from ingest.sheet import Sheet, lines_covered
from tests.bench.pollutions_cells import CHANGES, HEADER, TABLE, spoiled_line, spoiled_rows

ENDS = pytest.mark.parametrize("end", ["", ","], ids=["plain ends", "delimiters at the ends"])
SOUND = {line: [cell.strip() for cell in row] for line, row in enumerate(TABLE, 2)}


def kept(sheet: Sheet) -> dict[int, list[str]]:
    return {record.line: [cell.strip() for cell in record.cells] for record in sheet.records}


@ENDS
@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_no_row_is_kept_with_other_cells(change, end):
    for file in spoiled_rows(change, end):
        sheet = read_text(file.data, "table")
        found, faults = kept(sheet), {fault.line for fault in sheet.faults}
        read = found.pop(file.line, None)

        assert found == {line: row for line, row in SOUND.items() if line != file.line}, file.place
        assert list(sheet.header) == HEADER, file.place
        if read is None:
            assert file.line in faults, file.place
        else:  # read after all, a stray quote being text
            assert [cell.replace('"', "") for cell in read] == [
                cell.replace('"', "") for cell in SOUND[file.line]
            ], file.place
        assert lines_covered(sheet) == list(range(1, sheet.n_lines + 1))


@pytest.mark.parametrize("name", ["delimiter too many", "quote too many", "quote at the end"])
def test_a_mistake_in_the_header_costs_no_row(name):
    for file in spoiled_line(CHANGES[name], "", 1):
        sheet = read_text(file.data, "table")
        assert [cell.replace('"', "") for cell in sheet.header] == HEADER, file.place
        assert kept(sheet) == SOUND, file.place


def test_a_header_under_another_delimiter_is_read():
    (file,) = spoiled_line(CHANGES["semicolons between"], "", 1)
    sheet = read_text(file.data, "table")
    assert list(sheet.header) == HEADER
    assert kept(sheet) == SOUND


def test_a_row_without_the_end_of_the_others_is_told_how_many_cells_they_have():
    for file in spoiled_line(CHANGES["delimiter missing"], ",", 5):
        (fault,) = read_text(file.data, "table").faults
        n, usual = len(HEADER), len(HEADER) + 1
        assert fault.reason == f"the row has {n} cells where the other rows have {usual}"


@ENDS
def test_the_columnar_reading_sets_the_same_rows_aside(end):
    for change in CHANGES.values():
        for file in spoiled_line(change, end, 7):
            with read_columns(file.data, name="table") as sheet:
                lines = [line for batch in sheet.batches() for line in batch.lines.tolist()]
            careful = read_text(file.data, "table")
            assert lines == [record.line for record in careful.records], file.place
            assert sheet.faults == careful.faults, file.place


@pytest.mark.parametrize(
    ("row", "is_kept"),
    [
        ("4,PW,12.5,thin,", True),
        ("4,PW,12.5,,", True),
        ("4,,PW,12.5,", False),
        ("4,P,W,12.5,", False),
    ],
    ids=["with a note", "without a note", "an empty cell put in", "a delimiter in a cell"],
)
def test_a_delimiter_added_at_the_end_is_told_from_one_within(row, is_kept):
    rows = ["1,SW,10.5,", "2,SW,11.5,low", "3,SW,9.5,", row, "5,SW,12.0,"]
    sheet = read_text("\n".join(["shot,club,carry,note", *rows, ""]).encode(), "table")
    cells = tuple(row.split(",")[:4])
    assert (cells in [record.cells for record in sheet.records]) == is_kept
    assert [fault.line for fault in sheet.faults] == ([] if is_kept else [5])
