"""Signs by which a row of cells is a summary, a heading or a comment instead of data."""

import re
from collections.abc import Sequence

from ingest.cell_shapes import MISSING, is_label, is_measured, shape_of
from ingest.clubs import read_club
from ingest.column_profile import LABEL_CELLS, ColumnProfile
from ingest.key_values import key_values
from ingest.plain_rows import folded_cell
from ingest.structure_words import STRONG, is_unit, summary_strength

_QUANTITY = re.compile(r"\d+([.,]\d+)?\s*([^\d\s]+)")
_DAY_OR_WORDED = re.compile(r"[^\W\d_]{2,}|\d[ ]?[^\W\d_]$|°|\d{1,4}[-/.]\d{1,2}[-/.]\d{2,4}")
_DELIMITERS = (",", ";", "\t", "|")


def is_summary(cells: Sequence[str], profile: ColumnProfile, *, after_summary: bool) -> bool:
    """Whether a summary word stands where the table has something else.

    Args: after_summary: the line before was one, so that a weak word is enough.
    """
    first = next((i for i, cell in enumerate(cells) if cell.strip()), 0)
    for i in range(first, min(len(cells), max(LABEL_CELLS, first + 1), profile.width)):
        strength = summary_strength(cells[i]) if cells[i] else None
        if not strength:
            continue
        if i in profile.measured and not is_measured(cells[i]):
            return True
        known = folded_cell(cells[i])
        if after_summary and known not in _of_column(profile.often, i):
            return True
        if i == first and _tells_at_front(cells, strength, profile):
            return True
    return False


def _tells_at_front(cells: Sequence[str], strength: str, profile: ColumnProfile) -> bool:
    """A label in the first filled cell, of a row that lacks something or with a strong word."""
    i = next(i for i, cell in enumerate(cells) if cell.strip())
    known = folded_cell(cells[i])
    if lacks_usual(cells, i, profile) and known not in _of_column(profile.ordinary, i):
        return True
    return strength == STRONG and known not in _of_column(profile.often, i)


def _of_column(texts: Sequence[frozenset[str]], column: int) -> frozenset[str]:
    """Texts known of a column; none beyond the first ones."""
    return texts[column] if column < len(texts) else frozenset()


def lacks_usual(cells: Sequence[str], label: int, profile: ColumnProfile) -> bool:
    """Whether a column (but that of the label) that every row fills is empty or missing here."""
    usual = profile.always - {label}
    return len(cells) < profile.width or any(
        shape_of(cells[i]) == MISSING for i in usual if i < len(cells)
    )


def is_comment(cells: Sequence[str], raw: str) -> bool:
    """Whether the line is marked as a remark, and not a number behind a number sign."""
    text = raw.lstrip()
    if text.startswith(("//", "/*", "%%")):
        return True
    return text.startswith("#") and not is_measured(cells[0].lstrip("# "))


def is_heading(cells: Sequence[str], profile: ColumnProfile) -> bool:
    """Whether a lone label, or a key and its value, stands where a full row would."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    if profile.width < 3:
        return profile.width == 2 and len(cells) == 1 and _is_phrase(filled[0])
    if len(filled) > 2 or not cells[0].strip():
        return False
    marked = len(filled) == 2 and filled[0].endswith((":", "="))
    if not marked and folded_cell(cells[0]) in profile.ordinary[0]:
        return False  # what the first column holds anyway: the rest of the row is missing
    if not (marked or 0 in profile.measured or lacks_usual(cells, 0, profile)):
        return False
    if len(filled) == 1:
        named = bool(key_values(cells))
        return named or (
            _is_lone_label(filled[0], profile) and not _is_row_by_spaces(filled[0], profile)
        )
    return is_label(filled[0]) and (marked or profile.width > 4) and bool(key_values(cells))


def _is_lone_label(text: str, profile: ColumnProfile) -> bool:
    """Words, or a day or a number with a word ("7 Iron") that no first cell of a row can be."""
    if _is_like_a_row(text):
        return False
    if not is_measured(text):
        return True
    if profile.width < 4 or 0 in profile.timed or _is_quantity(text):
        return False
    return bool(_DAY_OR_WORDED.search(text))


def _is_row_by_spaces(text: str, profile: ColumnProfile) -> bool:
    """As many numbers and times as every row has, and one at the front if rows begin so."""
    words = text.split()
    if (0 in profile.measured) != is_measured(words[0]):
        return False
    return sum(map(is_measured, words)) >= max(3, len(profile.measured & profile.always))


def _is_quantity(text: str) -> bool:
    """A number with a unit (`12.4 m`) that is no club (`52°`, `3H`): decimals never are one."""
    found = _QUANTITY.fullmatch(text.replace("º", "°"))
    if found is None or not is_unit(found[2]):
        return False
    return found[1] is not None or read_club(found[0]).kind is None


def _is_phrase(text: str) -> bool:
    """Words beside a table of two columns: several, and no number or time."""
    return " " in text and not is_measured(text) and not _is_like_a_row(text)


def _is_like_a_row(text: str) -> bool:
    """Numbers and several delimiters: a row of data cut by something else than this table's."""
    n = sum(text.count(delimiter) for delimiter in _DELIMITERS)
    return n >= 2 and any(char.isdigit() for char in text)
