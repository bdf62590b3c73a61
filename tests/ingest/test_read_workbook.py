"""Workbooks: one sheet of text per filled sheet, with row numbers as lines."""

import datetime as dt

import pytest

from ingest.errors import NotTabular
from ingest.read_csv import read_sheets
from ingest.sheet import lines_covered
from tests.ingest.workbooks import workbook

SHOTS = [
    [None, "Session report"],
    [None, "Player", "Kim"],
    [],
    [None, "Shot", "When", "Club", "Carry (m)", "Note"],
    [None, 1, dt.datetime(2026, 5, 14, 10, 3, 7), "SW", 12.5, "thin,\nlow"],
    [None, 2, dt.datetime(2026, 5, 14, 10, 4, 0), "SW", 11, None],
    [None, "Average", None, None, 11.75, None],
]


def test_every_filled_sheet_is_a_table():
    data = workbook(Shots=SHOTS, Empty=[], Swings=[["Swing", "Ratio"], [1, 3.05], [2, 2.9]])
    shots, swings = read_sheets(data, name="day.xlsx")
    assert (shots.name, swings.name) == ("day.xlsx#Shots", "day.xlsx#Swings")
    assert shots.header == ("Shot", "When", "Club", "Carry (m)", "Note")
    assert [(record.line, record.cells) for record in shots.records] == [
        (5, ("1", "2026-05-14 10:03:07", "SW", "12.5", "thin,\nlow")),
        (6, ("2", "2026-05-14 10:04:00", "SW", "11", "")),
    ]
    assert {part.line: part.kind for part in shots.structure} == {
        1: "preamble", 2: "preamble", 3: "blank", 4: "header", 7: "summary",
    }  # fmt: skip
    assert shots.metadata == {"Player": "Kim"}
    assert lines_covered(shots) == list(range(1, 8))
    assert [record.cells for record in swings.records] == [("1", "3.05"), ("2", "2.9")]


def test_a_record_shows_as_text_that_can_be_mended_and_read_again():
    (sheet,) = read_sheets(workbook(Shots=SHOTS))
    line = "\t".join(["Shot", "When", "Club", "Carry", "Note"]) + "\n"
    (again,) = read_sheets((line + sheet.records[0].raw.lstrip("\t") + "\n").encode())
    assert again.records[0].cells == sheet.records[0].cells


def test_a_workbook_without_anything_is_refused():
    with pytest.raises(NotTabular, match="no sheet"):
        read_sheets(workbook(Empty=[]))
