"""Whether a file without a last line end stops inside its last cell: `12.` where others say `12.4`.

The rows before must agree: one number of decimals in all of them, or one shape of digits and signs.
"""

import re
from collections.abc import Sequence

from ingest.body import Body
from ingest.row_faults import fault_of
from ingest.sheet import Record

COMPARED = 20
"""So many rows before the last are looked at."""
_LEAST = 5
_DECIMALS = re.compile(r"[+-]?\d+[.,](\d+)")
_BEGUN = re.compile(r"[+-]?\d*(?:[.,](\d*))?")
_DIGIT = re.compile(r"\d")


def is_cut_short(last: str, before: Sequence[str]) -> bool:
    """Whether `last` is the beginning of such a cell as all those `before` it are."""
    filled = [cell.strip() for cell in before if cell.strip()]
    last = last.strip()
    if len(filled) < _LEAST or len(filled) < len(before) or not last:
        return False
    decimals = {len(found[1]) if (found := _DECIMALS.fullmatch(cell)) else 0 for cell in filled}
    begun = _BEGUN.fullmatch(last)
    if len(decimals) == 1 and 0 not in decimals and begun:
        return len(begun[1] or "") < decimals.pop()
    shapes = {_DIGIT.sub("0", cell) for cell in filled}
    if len(shapes) > 1:
        return False
    shape = shapes.pop()
    own = _DIGIT.sub("0", last)
    return "0" in shape and len(own) < len(shape) and shape.startswith(own)


def take_cut_record(
    records: list[Record], before: Sequence[str], body: Body, last_line: int, width: int
) -> None:
    """Make a fault of the last of `records` when the file stops inside its last cell.

    Args: before: last cells of the records before these; last_line: the file's, without line end.
    """
    last = records[-1]
    if last.line + last.n_lines - 1 != last_line:
        return
    above = [*before, *(record.cells[width - 1] for record in records[-1 - COMPARED : -1])]
    if is_cut_short(last.cells[width - 1], above[-COMPARED:]):
        records.pop()
        place = (last.line, last.n_lines)
        body.faults.append(fault_of("truncated_cell", place, last.cells, last.raw, width))
