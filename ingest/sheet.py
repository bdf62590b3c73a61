"""What reading a file gives, before anything in it has a meaning.

Every physical line of the source ends in exactly one place: a record, a structure line, or a
fault. Something that covers several lines (a quoted note with line breaks, say) is named by its
first line and says how many it covers.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

HeaderFit = Callable[[Sequence[str]], float]
"""How well these cells look like the header of a known kind, 0 to 1. Must be cheap: it is asked
about many rows.
"""


@dataclass(frozen=True, slots=True)
class Dialect:
    """How the text was written.

    `delimiter` is the literal separator, or two spaces for a run of two or more. `newline` is the
    commonest line end. A workbook has encoding `xlsx` and an empty delimiter.
    """

    encoding: str
    delimiter: str
    quote: str | None
    escape: str | None
    newline: str


@dataclass(frozen=True, slots=True)
class Structure:
    """A line that belongs to the form of the file, not to its data.

    `kind` is one of blank, banner, preamble, header, units, repeated_header, repeated_units,
    summary, section, footnote, comment, separator_hint, padding.
    """

    line: int
    kind: str
    n_lines: int = 1
    text: str = ""


@dataclass(frozen=True, slots=True)
class Record:
    """One row of data.

    `cells` are aligned to the header (never fewer; more only if the header is shorter). `raw` is
    the source text without its last line end.
    """

    line: int
    cells: tuple[str, ...]
    raw: str
    n_lines: int = 1


@dataclass(frozen=True, slots=True)
class RowFault:
    """A row whose shape is not sound, with the reason and what to do about it; `cells` as far as
    they could be cut.
    """

    line: int
    code: str
    reason: str
    mend: str
    raw: str
    cells: tuple[str, ...] = ()
    n_lines: int = 1


@dataclass(frozen=True, slots=True)
class Section:
    """A heading inside the table that may say something about the records after it ("Club: SW",
    "Session 2").
    """

    line: int
    key: str
    value: str


@dataclass(frozen=True)
class Sheet:
    """One table as it stood in the source.

    `name` is the sheet's name in a workbook, else the source's. `header_line` is None for a table
    without header; its `header` then reads `column_1 …`. `units` are the cells of a units row,
    aligned to the header. `metadata` holds the key-value lines around the table. `sections` are
    headings between records. `n_lines` counts physical lines.
    """

    name: str
    header: tuple[str, ...]
    header_line: int | None
    units: tuple[str, ...] | None
    records: Sequence[Record]
    structure: tuple[Structure, ...]
    metadata: Mapping[str, str]
    dialect: Dialect
    faults: tuple[RowFault, ...]
    n_lines: int
    sections: tuple[Section, ...] = field(default=())


def lines_covered(sheet: Sheet) -> list[int]:
    """Every physical line the sheet accounts for, sorted: a sound sheet gives 1 … n_lines, each
    once.
    """
    parts: list[Record | Structure | RowFault] = [*sheet.records, *sheet.structure, *sheet.faults]
    return sorted(line for p in parts for line in range(p.line, p.line + p.n_lines))
