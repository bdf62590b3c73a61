"""How well a row of cells looks like a header, by form alone or with the help of a vocabulary."""

from collections.abc import Sequence
from functools import lru_cache

from ingest.cell_shapes import is_label
from ingest.sheet import HeaderFit

_FORM_ALONE = 0.6


def form_fit(cells: Sequence[str]) -> float:
    """Share of the cells that are labels, less for repeated ones: 1 for a full row of own names."""
    names = [name for name in (cell.strip().casefold() for cell in cells) if name]
    if not names:
        return 0.0
    labels = sum(1 for name in names if is_label(name))
    return labels / len(cells) * len(set(names)) / len(names)


def with_form(fit: HeaderFit) -> HeaderFit:
    """A fit that a file of unknown words still passes, though below one whose words are known.

    Answers are remembered: one row is asked about under several dialects, and files come in series.
    """

    def both(cells: Sequence[str]) -> float:
        return _fitted(fit, tuple(cells))

    return both


@lru_cache(maxsize=4096)
def _fitted(fit: HeaderFit, cells: tuple[str, ...]) -> float:
    by_form = form_fit(cells)
    return by_form if fit is form_fit else max(fit(cells), _FORM_ALONE * by_form)
