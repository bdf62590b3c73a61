"""Every pollution of the standard table: each sound row is read, no other row is made up."""

import pytest

from ingest.read_csv import read_sheets
from ingest.sheet import lines_covered
from tests.bench.pollutions import Polluted, polluted_files
from tests.bench.pollutions_general import General, general_files


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


@pytest.mark.parametrize("file", list(general_files()), ids=lambda file: file.name)
def test_any_table_is_read_by_its_path_alone(file: General, tmp_path):
    path = tmp_path / "table.csv"
    path.write_bytes(file.data)
    sheet = read_sheets(path)[0]
    width = len(sheet.header)
    found = [[cell.strip() for cell in record.cells[:width]] for record in sheet.records]
    assert found == file.rows
    assert file.header is None or [name.strip() for name in sheet.header] == file.header
    assert lines_covered(sheet) == list(range(1, sheet.n_lines + 1))
