"""Whatever the bytes are: no crash, no hang, and every line accounted for."""

import time

from hypothesis import given, settings

from ingest.errors import IngestError
from ingest.read_csv import read_sheets
from ingest.sheet import lines_covered
from tests.ingest.reading_strategies import any_bytes

LONGEST_S = 2.0


def account(data: bytes) -> None:
    """Read the bytes and check what must hold of any reading."""
    started = time.process_time()
    fault = None
    try:
        sheets = read_sheets(data, name="fuzz.csv")
    except IngestError as refused:
        fault, sheets = refused, []
    assert fault is None or (fault.reason and fault.mend)
    assert time.process_time() - started < LONGEST_S
    for sheet in sheets:
        assert lines_covered(sheet) == list(range(1, sheet.n_lines + 1))
        assert all(len(record.cells) == len(sheet.header) for record in sheet.records)
        assert all(fault.code and fault.reason and fault.mend for fault in sheet.faults)


@settings(max_examples=400, deadline=None)
@given(any_bytes())
def test_any_bytes_are_read_or_refused(data):
    account(data)
