"""The columnar reading gives the same answers as the careful one, whatever the file."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ingest.read_columns as columnar
from ingest.errors import IngestError, NotTabular
from ingest.read_csv import read_text
from tests.ingest.reading_strategies import any_bytes, tables, written

ODD_LINES = st.sampled_from(
    ["", ",,,", "Average,,12.5", "Session 2", "Club: SW", "1,SW", 'x,"open', '7,"a\nb",12', "--",
     "Shot,Club,Carry", "1,2,3,4,5,6,7,8,9", "mph,yds,deg", "9,\x00,1", "SW,,,,", "Max,,1", "a;b;c",
     "Name,Age,Town\nKim,12,13", "# note", "-1,SW,2", ",SW,3", "Ø,,3"]
)  # fmt: skip


def in_columns(data: bytes):
    """Everything the columnar reading says, in the shape of the careful one."""
    with columnar.read_columns(data, name="text") as sheet:
        records = [
            (int(line), cells, batch.raw(i))
            for batch in sheet.batches()
            for i, (line, cells) in enumerate(zip(batch.lines, batch.frame.rows(), strict=True))
        ]
    return sheet, records


@pytest.fixture(autouse=True, scope="module")
def small_pieces():
    """Pieces so small that a few lines already need several."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(columnar, "_CAREFUL_BYTES", 64)
        patch.setattr(columnar, "_LARGEST_PIECE", 700)
        yield


def assert_same(data: bytes) -> None:
    careful = read_text(data, "text")
    sheet, records = in_columns(data)
    assert sheet.header == careful.header
    assert records == [(r.line, r.cells, r.raw) for r in careful.records]
    assert sheet.structure == careful.structure
    assert sheet.faults == careful.faults
    assert sheet.sections == careful.sections
    assert sheet.metadata == careful.metadata
    assert sheet.n_lines == careful.n_lines
    assert sheet.header_line == careful.header_line
    assert sheet.units == careful.units


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_same_answers_for_tables_with_odd_lines(data):
    newline = data.draw(st.sampled_from(["\n", "\r\n"]))
    table = data.draw(tables(newline))
    lines = written(table, ",", newline).split(newline)
    head, body = lines[0], [line for line in lines[1:] if line]
    body = body * data.draw(st.integers(1, 12))
    for _ in range(data.draw(st.integers(0, 5))):
        at = data.draw(st.integers(0, len(body)))
        body.insert(at, data.draw(ODD_LINES))
    text = newline.join([head, *body]) + data.draw(st.sampled_from(["", newline]))
    try:
        assert_same(text.encode())
    except NotTabular:
        assert text.count(newline) < 3


@settings(max_examples=250, deadline=None)
@given(any_bytes())
def test_same_answers_for_any_bytes(data):
    try:
        with columnar.read_columns(data, name="text") as sheet:
            list(sheet.batches())
    except IngestError:
        return
    if sheet.dialect.delimiter and not sheet.dialect.encoding.endswith("twice"):
        assert_same(data)


def test_odd_lines_deep_in_a_file_fall_back_only_around_them(monkeypatch):
    monkeypatch.setattr(columnar, "_LARGEST_PIECE", 64 * 1024)
    rows = [f"{i},SW,{i / 7:.2f}" for i in range(20_000)]
    rows[9_000] = "Average,,12.5"
    rows[9_500] = "x,SW"
    data = "\n".join(["Shot,Club,Carry", *rows, ""]).encode()
    careful_lines = []
    real = columnar.cut_rows
    monkeypatch.setattr(
        columnar,
        "cut_rows",
        lambda lines, *a: careful_lines.append(len(lines.texts)) or real(lines, *a),
    )
    sheet, records = in_columns(data)
    assert len(records) == 19_998
    assert [part.kind for part in sheet.structure] == ["header", "summary"]
    assert [fault.line for fault in sheet.faults] == [9_502]
    assert sum(careful_lines) < 3_000
