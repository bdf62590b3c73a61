"""Rows that are not kept: code, reason and mend of each, and the file that mends them."""

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ingest.normalise import Fault
from ingest.sheet import RowFault, Sheet
from ingest.validate import limits_text


@dataclass(frozen=True, slots=True)
class SetAside:
    """One row that is not kept. `column` is the header (empty when the whole row is meant)."""

    line: int
    column: str
    value: str
    code: str
    reason: str
    mend: str
    raw: str


_REASONS: dict[str, tuple[str, str]] = {
    "perhaps_a_summary": (
        "a last row without the number and time of the others may sum up all rows",
        "Delete it, or give it a number and a time.",
    ),
    "unreadable": ("the text is no number of this column", "Write a number, or leave it empty."),
    "two_meanings": (
        "the number has two meanings under the decimal sign of the file",
        "Write it with the file's decimal sign, or import with another decimal sign.",
    ),
    "decimal_open": ("the decimal sign is not settled", "Import with a decimal sign."),
    "unreadable_time": ("the text is no date or clock time", "Write it like the other rows."),
    "impossible_date": ("there is no such day", "Correct the date."),
    "not_a_whole_number": ("the text is no whole number", "Write the number, or leave it empty."),
    "not_yes_or_no": ("the text is neither yes nor no", "Write yes or no."),
    "other_player": (
        "the row names another player than the one whose rows were asked for",
        "Import the file for that player too, answering with that name.",
    ),
    "unnamed_player": (
        "the row names no player, and the rows of one player were asked for",
        "Write the player's name into the row, or answer `all`.",
    ),
    "below_minimum": (
        "the value is below what is possible ({limits})",
        "Correct it, or leave it empty.",
    ),
    "above_maximum": (
        "the value is above what is possible ({limits})",
        "Correct it, or leave it empty.",
    ),
}


def set_aside_of(fault: Fault, line: int, raw: str, table: str) -> SetAside:
    """The set-aside entry of one faulty row."""
    reason, mend = _REASONS[fault.code]
    if "{limits}" in reason:
        reason = reason.format(limits=limits_text(fault.column, table))
    return SetAside(line, fault.header, fault.value, fault.code, reason, mend, raw)


def from_row_faults(faults: Iterable[RowFault], header: Sequence[str]) -> list[SetAside]:
    """Rows whose shape the reader found unsound, with column and value where one cell is meant."""
    return [SetAside(f.line, *_place(f, header), f.code, f.reason, f.mend, f.raw) for f in faults]


def _place(fault: RowFault, header: Sequence[str]) -> tuple[str, str]:
    """(header, text) of the cell at fault; empty where it is the whole row."""
    if fault.code != "truncated_cell":
        return "", ""
    last = len(fault.cells) - 1
    return header[last], fault.cells[last]


def file_fault(sheet: Sheet, code: str, reason: str, mend: str) -> list[SetAside]:
    """Every row of a file that is rejected as a whole."""
    return [SetAside(r.line, "", "", code, reason, mend, r.raw) for r in sheet.records]


def mendable_csv(sheet: Sheet, lines: Iterable[int]) -> str:
    """These rows in the original layout: header and units row as they were, then the rows.

    Metadata lines come first as `key: value`, so that what they settle stays settled.
    """
    delimiter = sheet.dialect.delimiter if len(sheet.dialect.delimiter) == 1 else ","
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\n")
    for key, value in sheet.metadata.items():
        out.write(f"{key}: {value}\n")
    writer.writerow(sheet.header)
    if sheet.units:
        writer.writerow(sheet.units)
    cells = {record.line: record.cells for record in sheet.records}
    cells |= {fault.line: fault.cells for fault in sheet.faults}
    for line in lines:
        if line in cells:
            writer.writerow(cells[line])
    return out.getvalue()
