"""Where the table begins: which row is its header, what the lines over and under it are.

Rules:
- The header is found by `ingest.header_search`.
- A sparse row of labels right over it names groups; a full one is the first line of names that take
  two. Which reading is meant is decided by which fits better.
- Units (or data types) stand in the row after the header, or right over it.
- When no row fits, the table has no header and its columns are called `column_1 …`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from ingest.cell_shapes import is_measured
from ingest.header_search import find_header, is_banner, looks_like_data
from ingest.records import Row
from ingest.sheet import HeaderFit
from ingest.structure_words import is_types_row, is_units_row

_LOOKED_AT = 150
_KNOWN_FIT = 0.5
_ALL_BUT = 0.9


@dataclass(frozen=True, slots=True)
class Head:
    """`lines` maps the 1-based lines of the head to their kind; the body begins after `last_line`.

    `skip` leading cells of every row are empty and belong to no column (rows framed by `|`).
    `text` is the header line as it stands.
    """

    names: tuple[str, ...]
    header_line: int | None
    units: tuple[str, ...] | None
    header_cells: tuple[tuple[str, ...], ...]
    lines: dict[int, str]
    last_line: int
    skip: int = 0
    text: str = ""

    @property
    def width(self) -> int:
        """Number of columns."""
        return len(self.names)


def find_head(rows: Sequence[Row], width: int, fit: HeaderFit) -> Head:
    """The head of the table in these first rows of a file, `width` cells being the commonest."""
    at = find_header(rows[:_LOOKED_AT], width, fit)
    return _without_header(rows, width) if at is None else _around(rows, at, width, fit)


def _without_header(rows: Sequence[Row], width: int) -> Head:
    lines: dict[int, str] = {}
    last = 0
    for row in rows[:_LOOKED_AT]:
        if len(row.cells) == width and any(map(str.strip, row.cells)):
            break
        last = row.line + row.n_lines - 1
    else:
        last = 0
    names = tuple(f"column_{i}" for i in range(1, width + 1))
    return Head(names, None, None, (), lines, last)


def _around(rows: Sequence[Row], at: int, width: int, fit: HeaderFit) -> Head:
    """The head with what belongs to it over and under the header row."""
    lines = {rows[at].line: "header"}
    names = [cell.strip() for cell in rows[at].cells]
    names[0] = names[0].lstrip("#").strip() or names[0]
    parts = [tuple(rows[at].cells)]
    header_line, last = rows[at].line, at
    units: list[str] | None = None
    over = rows[at - 1] if at else None
    if over and len(over.cells) > 1 and is_units_row(over.cells):
        units, lines[over.line] = [cell.strip() for cell in over.cells], "units"
    elif over and _is_label_row(over, len(names)):
        cells = [cell.strip() for cell in over.cells]
        names, full = _with_row_over(cells, names, fit)
        lines[over.line] = "header"
        parts.insert(0, tuple(over.cells))
        header_line = over.line if full else header_line
    for under in range(at + 1, min(at + 6, len(rows))):
        kind = _kind_under(rows, under, names, width, units)
        if not kind:
            break
        cells = [cell.strip() for cell in rows[under].cells]
        lines[rows[under].line] = kind
        last = under
        if kind == "units":
            units = cells
        elif kind == "header":
            joined = _joined(names, cells)
            names = joined if fit(joined) >= fit(names) else names
            parts.append(tuple(rows[under].cells))
    end = rows[last].line + rows[last].n_lines - 1
    names, units, skip = _trimmed(rows[last + 1 :], names, units)
    names, units = _without_gaps(rows[last + 1 :], names, units, skip)
    aligned = tuple(_padded(units, len(names))) if units else None
    return Head(tuple(names), header_line, aligned, tuple(parts), lines, end, skip)


def _is_label_row(row: Row, width: int) -> bool:
    """At least two labels and nothing measured, not wider than the header."""
    filled = [cell for cell in row.cells if cell.strip()]
    if len(filled) < 2 or len(row.cells) > width + 1 or row.fault:
        return False
    pairs_like = len(filled) == 2 and bool(row.cells[0].strip()) and bool(row.cells[1].strip())
    if any(cell.strip().endswith(":") for cell in filled) or (pairs_like and width > 3):
        return False
    return not any(is_measured(cell) for cell in filled) and not _all_punctuation(filled)


def _all_punctuation(cells: Sequence[str]) -> bool:
    return not any(char.isalnum() for cell in cells for char in cell)


def _with_row_over(over: list[str], names: list[str], fit: HeaderFit) -> tuple[list[str], bool]:
    """Names completed by the row over them, and whether that row is full (names in two lines)."""
    filled = [cell for cell in over if cell]
    over = _padded(over, len(names))
    if len(filled) >= 0.6 * len(names) and len(set(filled)) > 0.7 * len(filled):
        joined = _joined(over, names)
        return (joined, True) if fit(joined) >= fit(names) else (names, False)
    groups: list[str] = []
    for cell in over:
        groups.append(cell or (groups[-1] if groups else ""))
    seen = [name.casefold() for name in names]
    completed = []
    for at, (group, name) in enumerate(zip(groups, names, strict=True)):
        grouped = f"{group} {name}".strip()
        unclear = not name or seen.count(name.casefold()) > 1
        better = _is_known(grouped, fit) and (bool(over[at]) or not _is_known(name, fit))
        completed.append(grouped if unclear or better else name)
    return completed, False


def _is_known(name: str, fit: HeaderFit) -> bool:
    """Whether the name alone is one of a kind of export, judged as three of it."""
    return fit([name] * 3) > _KNOWN_FIT


def _joined(first: Sequence[str], second: Sequence[str]) -> list[str]:
    width = max(len(first), len(second))
    pairs = zip(_padded(first, width), _padded(second, width), strict=True)
    return [" ".join(part for part in pair if part) for pair in pairs]


def _padded(cells: Sequence[str], width: int) -> list[str]:
    return [*cells[:width], *[""] * (width - len(cells))]


def _kind_under(
    rows: Sequence[Row], at: int, names: list[str], width: int, units: list[str] | None
) -> str | None:
    """The kind of a row under the header that still belongs to the head, else None."""
    cells = [cell.strip() for cell in rows[at].cells]
    filled = [cell for cell in cells if cell]
    if not filled:
        return "blank" if _head_goes_on(rows, at + 1) else None
    wraps = len(filled) >= max(2, len(names) // 2) and _is_label_row(rows[at], len(names))
    distinct = len(set(filled)) > 0.5 * len(filled)
    kinds = (
        ("banner", is_banner(rows[at].cells)),
        ("repeated_header", cells == [cell.strip() for cell in rows[at - 1].cells]),
        ("units", units is None and len(cells) <= len(names) + 1 and is_units_row(cells)),
        ("types", is_types_row(cells)),
        ("header", wraps and distinct and units is None and _data_follow(rows, at + 1, width)),
    )
    return next((kind for kind, holds in kinds if holds), None)


def _head_goes_on(rows: Sequence[Row], at: int) -> bool:
    """Whether a units or banner row comes right after a blank line."""
    if at >= len(rows):
        return False
    return is_units_row([c.strip() for c in rows[at].cells]) or is_banner(rows[at].cells)


def _data_follow(rows: Sequence[Row], at: int, width: int) -> bool:
    """Whether (nearly) all of the next rows are data, so that a row of words cannot be one."""
    later = [row for row in rows[at : at + 12] if any(map(str.strip, row.cells))]
    later = [row for row in later if not is_units_row(row.cells)]
    n = sum(looks_like_data(row.cells, width) for row in later)
    return n >= 2 and n >= 0.8 * len(later)


def _trimmed(
    body: Sequence[Row], names: list[str], units: list[str] | None
) -> tuple[list[str], list[str] | None, int]:
    """Names without the nameless columns at either edge that no row fills."""
    if names[-1] and names[0]:
        return names, units, 0
    rows = [row.cells for row in body if any(map(str.strip, row.cells))]
    filled = [cells for cells in rows if len(cells) <= len(names) and not is_banner(cells)][:200]
    while len(names) > 1 and not names[-1] and not _fills(filled, len(names) - 1):
        names = names[:-1]
    skip = 0
    while len(names) > skip + 1 and filled and not names[skip] and not _fills(filled, skip):
        skip += 1
    return names[skip:], units[skip:] if units else None, skip


def _without_gaps(
    body: Sequence[Row], names: list[str], units: list[str] | None, skip: int
) -> tuple[list[str], list[str] | None]:
    """The names without empty ones that no row has a cell for: a delimiter too many among them."""
    named = [i for i, name in enumerate(names) if name]
    if len(named) == len(names) or len(named) < 2:
        return names, units
    widths = [len(row.cells) - skip for row in body if any(map(str.strip, row.cells))]
    as_named = widths.count(len(named))
    if as_named < max(2, _ALL_BUT * len(widths)) or len(names) in widths:
        return names, units
    kept_units = [units[i] for i in named] if units and len(units) >= len(names) else units
    return [names[i] for i in named], kept_units


def _fills(rows: Sequence[Sequence[str]], column: int) -> bool:
    return any(len(cells) > column and cells[column].strip() for cells in rows)
