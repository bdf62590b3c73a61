"""What the columns of a table usually hold, learnt from its first rows.

Both the careful and the columnar reading judge later rows against this profile, so that they agree.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from operator import itemgetter

from ingest.cell_shapes import MISSING, NUMBER, TIME, is_measured, shape_of
from ingest.structure_words import summary_strength

PROFILE_ROWS = 200
LABEL_CELLS = 3
"""A summary row has its label in one of the first cells."""
_MEASURED_SHARE = 0.75
_LEAST_SHORT_SHARE = 0.2
_MANY_SHORT = 5
_MOST_LETTERS = 1 / 3


@dataclass(frozen=True, slots=True)
class ColumnProfile:
    """`measured` columns hold numbers or times, `timed` times; `always` are filled in every row.

    `never` are filled in none. `trims` says that the writer leaves out empty cells at the end of a
    row, `surplus` how many empty cells beyond the header it ends its rows with.
    For the first LABEL_CELLS columns, in lower case: `often` holds texts that fill over a third of
    the column, `ordinary` those seen in rows that lack nothing (a player called Max, say).
    `probe` is a measured column in which a word would be out of place, or −1.
    """

    width: int
    measured: frozenset[int]
    timed: frozenset[int]
    always: frozenset[int]
    often: tuple[frozenset[str], ...]
    ordinary: tuple[frozenset[str], ...]
    trims: bool
    probe: int
    never: frozenset[int] = frozenset()
    surplus: int = 0

    def suits(self, cells: Sequence[str]) -> bool:
        """Whether every measured column holds a number, a time or nothing."""
        return all(
            shape_of(cells[i]) == MISSING or is_measured(cells[i])
            for i in self.measured
            if i < len(cells)
        )


def profile_of(rows: Sequence[Sequence[str]], width: int) -> ColumnProfile:
    """The profile of a body whose first rows are these (structure lines may be among them)."""
    surplus = _surplus(rows[:PROFILE_ROWS], width)
    if surplus:
        rows = [_without(cells, width, surplus) for cells in rows]
    full = [cells for cells in rows if len(cells) == width][:PROFILE_ROWS]
    unlabelled = [cells for cells in full if _is_ordinary(cells)]
    everything, full = full, unlabelled if len(unlabelled) > 1 else full
    columns = list(zip(*full, strict=True)) if full else [()] * width
    shapes = [[shape_of(cell) for cell in column] for column in columns]
    measured = frozenset(i for i, shape in enumerate(shapes) if _mostly_measured(shape))
    timed = frozenset(i for i in measured if 2 * shapes[i].count(TIME) > shapes[i].count(NUMBER))
    always = frozenset(
        i for i, shape in enumerate(shapes) if len(full) > 1 and _nearly_all_filled(shape)
    )
    labels = range(min(LABEL_CELLS, width))
    wordy = [i not in measured for i in labels]  # in the others any word is out of place
    often = tuple(_recurring(columns[i]) if wordy[i] else frozenset() for i in labels)
    complete = _complete(everything, always) if any(wordy) else []
    ordinary = tuple(
        frozenset(_folded(cells[i]) for cells in complete) if wordy[i] else frozenset()
        for i in labels
    )
    profile = ColumnProfile(width, measured, timed, always, often, ordinary, False, -1)
    trims = not surplus and _trims(rows[:PROFILE_ROWS], full, profile)
    probe = _probe(columns, measured)
    empty = (i for i in range(width) if i not in always)
    never = frozenset(i for i in empty if len(full) > 2 and set(shapes[i]) == {MISSING})
    return replace(profile, trims=trims, probe=probe, never=never, surplus=surplus)


def _surplus(rows: Sequence[Sequence[str]], width: int) -> int:
    """The empty cells beyond the header with which more than half of the rows end."""
    if all(len(cells) <= width for cells in rows):
        return 0
    wide = [cells for cells in rows if len(cells) >= width]
    ends = Counter(len(cells) - width for cells in wide if not any(map(str.strip, cells[width:])))
    commonest, n = ends.most_common(1)[0] if ends else (0, 0)
    return commonest if 2 * n > len(wide) else 0


def _without(cells: Sequence[str], width: int, surplus: int) -> Sequence[str]:
    """The cells without the usual empty ones at the end."""
    if len(cells) != width + surplus or any(map(str.strip, cells[width:])):
        return cells
    return cells[:width]


def _mostly_measured(shapes: Sequence[str]) -> bool:
    filled = len(shapes) - shapes.count(MISSING)
    measured = shapes.count(NUMBER) + shapes.count(TIME)
    return filled > 0 and measured >= _MEASURED_SHARE * filled


def _nearly_all_filled(shapes: Sequence[str]) -> bool:
    """Filled but for one row in ten at most, which may be a summary with an unknown label."""
    return shapes.count(MISSING) <= len(shapes) // 10


def _is_ordinary(cells: Sequence[str]) -> bool:
    """No summary label at the front, and more than a heading's few cells filled."""
    if len(cells) - cells.count("") <= max(1, min(2, len(cells) // 2), len(cells) // 3):
        return False
    first = next((cell for cell in cells if cell), "")
    labels = (cell for cell in (first, *cells[:LABEL_CELLS]) if cell and not cell[0].isdigit())
    return not any(map(summary_strength, labels))


def _probe(columns: Sequence[Sequence[str]], measured: frozenset[int]) -> int:
    """The measured column that most rarely begins with a letter: a word there is out of place."""
    shares = [
        (sum(1 for cell in columns[i] if cell[:1].isalpha()) / len(columns[i]), i)
        for i in sorted(measured)
    ]
    share, column = min(shares, default=(1.0, -1))
    return column if share <= _MOST_LETTERS else -1


def _recurring(column: Sequence[str]) -> frozenset[str]:
    counts = Counter(map(_folded, column))
    return frozenset(text for text, n in counts.items() if n > 1 and n * 3 > len(column))


def _complete(rows: Sequence[Sequence[str]], always: frozenset[int]) -> list[Sequence[str]]:
    """The rows that lack nothing."""
    if not always:
        return list(rows)
    needed = itemgetter(*always) if len(always) > 1 else lambda cells: (cells[next(iter(always))],)
    return [cells for cells in rows if all(needed(cells))]


def _folded(cell: str) -> str:
    return cell.strip().casefold()


def _trims(
    rows: Sequence[Sequence[str]], full: Sequence[Sequence[str]], profile: ColumnProfile
) -> bool:
    """Whether short rows are a habit of the writer: many, fitting, and no full row ends empty."""
    short = [cells for cells in rows if max(2, profile.width // 2) <= len(cells) < profile.width]
    if len(short) < max(2, _LEAST_SHORT_SHARE * len(rows)) or not full:
        return False
    if any(not cells[-1].strip() for cells in full):
        return False
    lacking = min(map(len, short))
    if len(short) < _MANY_SHORT and any(i >= lacking for i in profile.measured):
        return False
    return all(profile.suits(cells) for cells in short)
