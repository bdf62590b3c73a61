"""Left and right across columns: start direction and side must agree in most rows.

A column whose side is stated (letters in its cells, its header, a preamble) proves the sign of one
that says nothing, when the two clearly go together; two silent columns that contradict each other
are asked about.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ingest.drafts import Draft

MIN_ROWS = 10
CLEAR = 0.8
PAIR = ("start_right_deg", "side_m")


def settle_signs(drafts: Sequence[Draft]) -> list[Draft]:
    """The drafts, with the sign of a silent side proved, or asked where two contradict."""
    found = {
        draft.plan.column: draft for draft in drafts if draft.plan.column in PAIR and draft.numbers
    }
    if len(found) < 2:
        return list(drafts)
    link = _correlation(*(_signed(found[name]) for name in PAIR))
    if link is None or link > -CLEAR:
        return list(drafts)
    silent = [draft for draft in found.values() if not _stated(draft)]
    if len(silent) == 1:
        changed = {id(silent[0]): _flipped(silent[0])}
    else:
        changed = {id(draft): _asked(draft) for draft in found.values()}
    return [changed.get(id(draft), draft) for draft in drafts]


def _stated(draft: Draft) -> bool:
    return draft.sign_from is not None or bool(draft.numbers and draft.numbers.sides)


def _signed(draft: Draft) -> NDArray[np.float64]:
    assert draft.numbers is not None
    values = draft.numbers.values.to_numpy() * float(draft.plan.sign)
    for row, side in draft.numbers.sides.items():
        values[row] = abs(values[row]) * side
    return values


def _correlation(left: NDArray[np.float64], right: NDArray[np.float64]) -> float | None:
    both = np.isfinite(left) & np.isfinite(right)
    if both.sum() < MIN_ROWS or left[both].std() == 0 or right[both].std() == 0:
        return None
    return float(np.corrcoef(left[both], right[both])[0, 1])


def _flipped(draft: Draft) -> Draft:
    return replace(draft, plan=replace(draft.plan, sign=-draft.plan.sign), sign_from="physics")


def _asked(draft: Draft) -> Draft:
    why = "start direction and side contradict each other: one of them counts left as positive"
    plan = replace(draft.plan, open=(*draft.plan.open, "sign"))
    return replace(draft, plan=plan, points={**draft.points, "sign": (("right", "left"), why)})
