"""A workbook (xlsx, xlsb, xls, ods) to sheets of text cells, one for every sheet that is not empty.

Numbers are written with a decimal point and as few digits as name them, dates and times in ISO
form. The physical line of a record is its row number in the sheet.
"""

import csv
import datetime as dt
import io
from collections.abc import Sequence

import python_calamine as calamine

from ingest.cell_scanner import Cutting
from ingest.containers import refuse_large_workbook
from ingest.dialect import judge
from ingest.errors import NotReadable, NotTabular
from ingest.physical_lines import Lines
from ingest.records import Row
from ingest.sheet import Dialect, HeaderFit, Sheet
from ingest.structure import frame_of, sheet_of, sort_rows

_SAMPLE_ROWS = 150


def read_workbook(data: bytes, name: str, fit: HeaderFit) -> list[Sheet]:
    """Every sheet with a table. Raises NotReadable, NotTabular, TooLarge."""
    try:
        refuse_large_workbook(data, name)
        book = calamine.CalamineWorkbook.from_filelike(io.BytesIO(data))
        grids = [(title, _grid(book, title)) for title in book.sheet_names]
    except (calamine.CalamineError, OSError, ValueError) as fault:
        reason = f"the workbook is damaged or protected: {fault}."
        mend = "Save it anew without a password, or export it as CSV."
        raise NotReadable(reason, mend, file=name) from fault
    sheets = [_sheet(f"{name}#{title}", grid, fit) for title, grid in grids if any(map(any, grid))]
    if not sheets:
        raise NotTabular("no sheet of the workbook holds anything.", "Check the file.", file=name)
    return sheets


def _grid(book: calamine.CalamineWorkbook, title: str) -> list[list[str]]:
    rows = book.get_sheet_by_name(title).to_python(skip_empty_area=False)
    return [[_text(value) for value in row] for row in rows]


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, dt.datetime):
        return value.isoformat(sep=" ")
    if isinstance(value, dt.timedelta):
        return str(value)
    return str(value)


def _sheet(name: str, grid: Sequence[list[str]], fit: HeaderFit) -> Sheet:
    rows = [Row(i, 1, cells) for i, cells in enumerate(grid, 1)]
    lines = Lines([_as_line(cells) for cells in grid], "\n", "\n", ended=True)
    cutting = Cutting("\t")
    judged = judge(rows[:_SAMPLE_ROWS], cutting, fit)
    frame = frame_of(rows[:_SAMPLE_ROWS], lines, judged, fit)
    body = sort_rows([row for row in rows if row.line > frame.head.last_line], lines, frame)
    dialect = Dialect("xlsx", "", None, None, "\n")
    return sheet_of(name, frame, body, dialect, len(rows))


def _as_line(cells: Sequence[str]) -> str:
    """The row as tab-separated text, so that it can be shown, mended and read again."""
    out = io.StringIO()
    csv.writer(out, delimiter="\t", lineterminator="\n").writerow(cells)
    return out.getvalue().removesuffix("\n")
