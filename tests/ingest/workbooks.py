"""Workbooks made for tests."""

import io

import openpyxl


def workbook(**sheets: list[list[object]]) -> bytes:
    """A workbook with these rows in each sheet."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
