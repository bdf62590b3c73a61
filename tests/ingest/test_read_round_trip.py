"""Any table written in any supported dialect, encoding and line end reads back equal."""

import csv

from hypothesis import given, settings
from hypothesis import strategies as st

from ingest.physical_lines import split_lines
from ingest.read_csv import read_sheets
from ingest.sheet import lines_covered
from tests.ingest.reading_strategies import DELIMITERS, ENCODINGS, NEWLINES, tables, written


@settings(max_examples=250, deadline=None)
@given(st.data())
def test_a_written_table_reads_back_equal(data):
    newline = data.draw(st.sampled_from(NEWLINES))
    table = data.draw(tables(newline))
    delimiter = data.draw(st.sampled_from(DELIMITERS))
    encoding = data.draw(st.sampled_from(ENCODINGS))
    quoting = data.draw(st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]))
    text = written(table, delimiter, newline, quoting)

    (sheet,) = read_sheets(text.encode(encoding))

    assert sheet.header == table.header
    assert tuple(record.cells for record in sheet.records) == table.rows
    assert (sheet.dialect.delimiter, sheet.dialect.newline) == (delimiter, newline)
    assert not sheet.faults
    assert lines_covered(sheet) == list(range(1, sheet.n_lines + 1))
    lines = split_lines(text)
    for record in sheet.records:
        assert record.raw == lines.join(record.line - 1, record.line - 1 + record.n_lines)
