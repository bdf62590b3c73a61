"""One export, from its path or bytes to one reading of all of its tables that fit."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from ingest.assign import choose_kind
from ingest.containers import opened, whole
from ingest.errors import BadOption
from ingest.headers import fit
from ingest.importers import START_BYTES, importer_for, importers, read_with
from ingest.joined_reading import joined, may_join, tells_events
from ingest.layout_files import all_layouts, find_layout
from ingest.option_check import check_options
from ingest.options import Options
from ingest.read_csv import read_sheets
from ingest.reading import Reading, read_sheet
from ingest.second_tables import blocks_of, shifted, without
from ingest.sheet import Sheet


def read_export(source: Path | bytes, *, name: str, options: Options | None = None) -> Reading:
    """Read one export.

    Args:
        source: a path, or the bytes of the file.
        name: the file's name, which may hold the session's day.
        options: what the user says about the file beforehand.

    Returns:
        A reading; outcome `rejected` for a file of no known kind, with every row set aside.

    Raises:
        NotReadable, TooLarge, NotTabular: for what is no table at all.
        BadOption: for a layout, unit or zone that does not exist.
    """
    chosen = options or Options()
    check_options(chosen)
    sheets = _plugged_in(source, name) or read_sheets(source, name=name, fit=fit)
    _check_headers(chosen, sheets)
    layouts = (find_layout(chosen.layout),) if chosen.layout else all_layouts()

    def read(sheet: Sheet) -> Reading:
        return read_sheet(sheet, name=name, options=chosen, layouts=layouts)

    own = _of_kind(sheets, chosen.kind)
    best = max(own, key=lambda sheet: (fit(sheet.header), len(sheet.records)))
    reading = _with_second_tables(best, read)
    if len(sheets) == 1:
        return reading
    found = _with_more_sheets(own, best, reading, read)
    left = [s for s in sheets if s.name not in found.sheets]
    kinds = () if chosen.kind else _kinds_of(left, found, read)
    return replace(found, other_sheets=tuple(sheet.name for sheet in left), other_kinds=kinds)


def _check_headers(options: Options, sheets: Sequence[Sheet]) -> None:
    """Raises BadOption for an answer about a header that no table of the file has."""
    known = {header for sheet in sheets for header in sheet.header}
    known |= {part.text for sheet in sheets for part in sheet.structure}
    for question in options.answers:
        kind, _, header = question.partition(":")
        if kind == "meaning" and not any(header in text for text in known):
            mend = f"Write one of {', '.join(map(repr, sheets[0].header))}."
            raise BadOption("no column is called so.", mend, column=question, value=header)


Read = Callable[[Sheet], Reading]


def _with_second_tables(sheet: Sheet, read: Read) -> Reading:
    """The reading of a sheet and of those of its further tables that hold such events too."""
    reading = read(sheet)
    if reading.outcome != "ok":
        return reading
    joining = []
    for block in blocks_of(sheet, fit):
        further = read(block.sheet)
        if may_join(reading, further):
            sheet = without(sheet, block)
            joining.append(further)
    return joined([read(sheet), *joining]) if joining else reading


def _with_more_sheets(
    sheets: Sequence[Sheet], best: Sheet, reading: Reading, read: Read
) -> Reading:
    """With the rows of every sheet of a workbook that fits the best one.

    Lines count on from sheet to sheet.
    """
    fitting = [s for s in sheets if s is best or may_join(reading, read(s))]
    names = tuple(sheet.name for sheet in fitting)
    if len(fitting) == 1:
        return replace(reading, sheets=names)
    found, above = [], 0
    for sheet in fitting:
        found.append(_with_second_tables(shifted(sheet, above), read))
        above += sheet.n_lines
    first = found[fitting.index(best)]
    ordered = [first, *(one for one in found if one is not first)]
    return replace(joined(ordered), n_lines=above, sheets=names)


def _of_kind(sheets: Sequence[Sheet], kind: str | None) -> Sequence[Sheet]:
    """The sheets whose headers name that kind; all where none does, or no kind is asked for."""
    if kind is None or len(sheets) == 1:
        return sheets
    return [sheet for sheet in sheets if choose_kind(sheet.header) == kind] or sheets


def _kinds_of(sheets: Sequence[Sheet], first: Reading, read: Read) -> tuple[str, ...]:
    """The other kinds among these sheets whose rows say which event each of them is."""
    if first.outcome != "ok":
        return ()
    found = [reading for sheet in sheets if (reading := read(sheet)).outcome == "ok"]
    kinds = [one.kind for one in found if one.kind != first.kind and tells_events(one)]
    return tuple(dict.fromkeys(kinds))


def _plugged_in(source: Path | bytes, name: str) -> list[Sheet]:
    """What an installed importer makes of the file; nothing for a plain table."""
    if not importers():
        return []
    with opened(source, name) as stream:
        importer = importer_for(stream.read(START_BYTES), name)
        if importer is None:
            return []
        stream.seek(0)
        return [read_with(importer, whole(stream, name), name)]
