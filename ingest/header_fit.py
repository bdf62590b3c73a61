"""How well a row of cells looks like a header, by form alone or with the help of a vocabulary."""

from collections.abc import Sequence

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
    """A fit that a file of unknown words still passes, though below one whose words are known."""
    if fit is form_fit:
        return fit

    def both(cells: Sequence[str]) -> float:
        return max(fit(cells), _FORM_ALONE * form_fit(cells))

    return both
