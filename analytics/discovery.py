"""What may be called found when many things are looked at.

Rules
-----
1. Everything looked at enters one list, whatever it shows; the share of false finds among what
   is called clear is held down over the whole list (Benjamini & Hochberg).
2. What had too little data is no claim and takes no part: that depends on counts, not on values.
3. One thing may be declared before the session: it is tested on its own at half of the level, and
   the rest of the list shares the other half.
4. No effect is an answer too: clear when the whole interval lies within what would not matter.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from analytics.answer import Answer, Minimum, State
from analytics.clustered import Estimate

Floats = NDArray[np.float64]
Kind = Literal["habit", "change", "link"]
Verdict = Literal["effect", "hint", "no_effect", "open", "too_early"]

FALSE_SHARE = 0.04
"""Level for the whole list: under the 5 % promised, for what small samples add."""


def benjamini_hochberg(p_values: Floats) -> Floats:
    """Adjusted p-values, in the order given.

    Source: Benjamini & Hochberg 1995, Journal of the Royal Statistical Society B 57, 289.
    """
    p = np.asarray(p_values, dtype=np.float64)
    order = np.argsort(p, kind="stable")
    ranked = p[order] * p.size / np.arange(1, p.size + 1)
    adjusted = np.empty_like(p)
    adjusted[order] = np.minimum.accumulate(ranked[::-1])[::-1].clip(max=1.0)
    return adjusted


@dataclass(frozen=True)
class Looked:
    """One thing looked at: its estimate, what it needs, and the smallest effect that matters."""

    key: str
    kind: Kind
    estimate: Estimate
    unit: str
    minimum: Minimum
    matters: float
    metres_at_stake: float = 0.0


@dataclass(frozen=True)
class Finding:
    """A thing looked at, judged beside all the others; `q_value` is its adjusted p-value."""

    key: str
    kind: Kind
    answer: Answer
    verdict: Verdict
    p_value: float
    q_value: float
    metres_at_stake: float
    matters: float

    @property
    def expected(self) -> float:
        """The value as to expect it again: drawn toward zero by its own doubt.

        What is shown because it stood out was helped by luck (positive-part James–Stein).
        """
        a = self.answer
        if a.value is None or a.low is None or a.high is None or a.value == 0:
            return 0.0
        half = (a.high - a.low) / 2
        return a.value * max(0.0, 1.0 - (half / 2.0) ** 2 / a.value**2)


def judge(
    looked: Sequence[Looked], declared: str | None = None, level: float = FALSE_SHARE
) -> list[Finding]:
    """Judge everything looked at together.

    Args:
        looked: in the order to show.
        declared: key of the one thing declared before the session, if any.
        level: false share allowed over the whole list.
    """
    ready = [i for i, item in enumerate(looked) if _has_enough(item)]
    own = [i for i in ready if looked[i].key == declared]
    rest = [i for i in ready if looked[i].key != declared]
    q = {i: looked[i].estimate.p_value for i in own}
    adjusted = benjamini_hochberg(np.array([looked[i].estimate.p_value for i in rest]))
    q.update(zip(rest, adjusted.tolist(), strict=True))
    limit = level / 2 if own else level
    return [_finding(item, q.get(i, 1.0), limit) for i, item in enumerate(looked)]


def _has_enough(item: Looked) -> bool:
    e = item.estimate
    return e.known and not item.minimum.need(e.n_shots, e.n_sessions)


def _verdict(item: Looked, q: float, limit: float) -> Verdict:
    e = item.estimate
    if not _has_enough(item):
        return "too_early"
    if q <= limit:
        return "effect"
    if e.low > 0 or e.high < 0:
        return "hint"
    return "no_effect" if max(-e.low, e.high) <= item.matters else "open"


def _finding(item: Looked, q: float, limit: float) -> Finding:
    e = item.estimate
    verdict = _verdict(item, q, limit)
    states: dict[Verdict, State] = {
        "effect": "clear",
        "no_effect": "clear",
        "hint": "leaning",
        "open": "leaning",
        "too_early": "too_early",
    }
    answer = Answer(
        value=_number(e.value),
        low=_number(e.low),
        high=_number(e.high),
        unit=item.unit,
        n_shots=e.n_shots,
        n_sessions=e.n_sessions,
        state=states[verdict],
        level=e.level,
        need=item.minimum.need(e.n_shots, e.n_sessions),
    )
    return Finding(
        item.key, item.kind, answer, verdict, e.p_value, q, item.metres_at_stake, item.matters
    )


def _number(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
