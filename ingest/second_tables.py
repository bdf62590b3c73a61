"""Further tables of one text: another header of the same kind of export, with its own columns.

A device that changes its units or its columns between sessions writes such files. The block from
the lines over the second header to the next row or header of another table is read on its own.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from ingest.cell_scanner import Cutting
from ingest.errors import NotTabular
from ingest.read_csv import read_text
from ingest.records import cut_line
from ingest.sheet import HeaderFit, Record, RowFault, Sheet, Structure

LEAST_FIT = 0.5
_OVER_A_HEADER = frozenset({"blank", "section", "banner", "comment", "preamble"})
_HEADERS = frozenset({"repeated_header", "other_header"})
Part = Record | Structure | RowFault


@dataclass(frozen=True)
class Block:
    """The physical lines `first` … `last` of a sheet, and the table that they hold."""

    first: int
    last: int
    sheet: Sheet


def blocks_of(sheet: Sheet, fit: HeaderFit) -> list[Block]:
    """The further tables in `sheet` whose headers name columns that are known, in order."""
    heads = [part.line for part in sheet.structure if part.kind == "other_header"]
    above = any(fault.line < (sheet.header_line or 0) for fault in sheet.faults)
    if not heads and not above:
        return []
    parts: list[Part] = sorted(
        [*sheet.records, *sheet.structure, *sheet.faults], key=lambda part: part.line
    )
    first = _block_above(sheet, parts, fit) if above else None
    found = [first] if first is not None else []
    for line in heads:
        if found and line <= found[-1].last:
            continue
        block = _block(sheet, parts, line, fit)
        if block is not None:
            found.append(block)
    return found


def _block(sheet: Sheet, parts: list[Part], head_line: int, fit: HeaderFit) -> Block | None:
    at = next(i for i, part in enumerate(parts) if part.line == head_line)
    head = parts[at]
    assert isinstance(head, Structure)
    cutting = Cutting(sheet.dialect.delimiter or "\t", sheet.dialect.quote)
    if fit([cell.strip() for cell in cut_line(head.text, cutting)]) < LEAST_FIT:
        return None
    inside = parts[_top_of(parts, at) : _end_of(parts, at)]
    return _read(sheet, inside, sheet.metadata, fit)


def _block_above(sheet: Sheet, parts: list[Part], fit: HeaderFit) -> Block | None:
    """A table over the one that was taken for the first, which has more rows or columns."""
    at = next(i for i, part in enumerate(parts) if part.line >= (sheet.header_line or 0))
    block = _read(sheet, parts[: _top_of(parts, at)], {}, fit)
    return block if block is not None and fit(block.sheet.header) >= LEAST_FIT else None


def _read(
    sheet: Sheet, inside: list[Part], metadata: Mapping[str, str], fit: HeaderFit
) -> Block | None:
    """These lines as a table of their own, with what is known of them beforehand."""
    if not inside:
        return None
    text = "\n".join(part.text if isinstance(part, Structure) else part.raw for part in inside)
    try:
        table = read_text(text.encode(), sheet.name, fit)
    except NotTabular:
        return None
    first, last = inside[0].line, inside[-1].line + inside[-1].n_lines - 1
    if table.n_lines != last - first + 1 or not table.records:
        return None
    known = {**metadata, **table.metadata}
    return Block(first, last, shifted(replace(table, metadata=known), first - 1))


def _top_of(parts: list[Part], at: int) -> int:
    """The first of the lines that stand over the header `at`."""
    while at and _stands_over(parts[at - 1]):
        at -= 1
    return at


def _end_of(parts: list[Part], at: int) -> int:
    """The end of the table of the header `at`: a row of the first table, or what stands over
    the next header."""
    end = at + 1
    while end < len(parts) and not isinstance(parts[end], Record):
        part = parts[end]
        if isinstance(part, Structure) and part.kind in _HEADERS:
            return _top_of(parts, end)
        end += 1
    return end


def _stands_over(part: Part) -> bool:
    return isinstance(part, Structure) and part.kind in _OVER_A_HEADER


def shifted(sheet: Sheet, by: int) -> Sheet:
    """`sheet` with `by` added to its line numbers."""
    return replace(
        sheet,
        header_line=sheet.header_line + by if sheet.header_line else None,
        records=[replace(part, line=part.line + by) for part in sheet.records],
        structure=tuple(replace(part, line=part.line + by) for part in sheet.structure),
        faults=tuple(replace(part, line=part.line + by) for part in sheet.faults),
        sections=tuple(replace(part, line=part.line + by) for part in sheet.sections),
    )


def without(sheet: Sheet, block: Block) -> Sheet:
    """`sheet` without the lines of `block`."""

    def outside(line: int) -> bool:
        return not block.first <= line <= block.last

    keep: Callable[[Part], bool] = lambda part: outside(part.line)  # noqa: E731
    return replace(
        sheet,
        structure=tuple(filter(keep, sheet.structure)),
        faults=tuple(filter(keep, sheet.faults)),
        sections=tuple(part for part in sheet.sections if outside(part.line)),
    )
