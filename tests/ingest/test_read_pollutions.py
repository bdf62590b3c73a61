"""Every pollution of the standard table: each sound row is read, no other row is made up."""

import pytest

from ingest.read_csv import read_sheets
from ingest.sheet import lines_covered
from tests.bench.pollutions import Polluted, polluted_files


@pytest.mark.parametrize("file", polluted_files(), ids=lambda file: file.name)
def test_sound_rows_are_read_and_spoiled_ones_set_aside(file: Polluted):
    (sheet,) = read_sheets(file.data)
    width = len(file.rows[0]) if file.rows else len(file.header)
    found = {record.cells[0].strip(): [c.strip() for c in record.cells] for record in sheet.records}

    assert list(found.values()) == [[cell.strip() for cell in row] for row in file.rows]
    assert len(found) == len(sheet.records)
    assert len(sheet.header) == width
    assert lines_covered(sheet) == list(range(1, sheet.n_lines + 1))
    if file.header:
        assert [name.strip() for name in sheet.header] == list(file.header)
    if file.lost:
        assert sheet.faults
