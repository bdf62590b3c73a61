"""One focus for the next session, chosen before it: strokes at stake × certainty.

Rules
-----
1. Only what was found can be the focus. A hint or an open question weighs by how unlikely it is
   to be noise, which for noise is next to nothing; so shuffling the noise does not move the plan.
2. Strokes at stake: how much shorter the usual leave would be without it, times what a metre of
   leave costs. It ranks, it promises nothing.
3. Of equal weight the one nearer to the top of the list is taken, so that the choice is fixed.
4. What was picked because it stood out is shown drawn toward nothing (`Finding.expected`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from analytics.discovery import Finding

STROKES_PER_METRE = 0.30
"""Putts a metre of leave costs between 3 and 8 ft: (0.954 − 0.501) / 1.524 m, from the make rates
of touring players (Broadie 2018). Others lose more from afar; it only ranks."""

WORTH_STROKES = 0.005
"""Below half a hundredth of a stroke a ball nothing is worth a session: common practice, no
source."""

NOTHING_STANDS_OUT = "keep_on"
TOO_EARLY = "too_early"
WITHOUT_A_FIND = frozenset({NOTHING_STANDS_OUT, TOO_EARLY})

TRAINED: dict[str, str] = {
    "landing_centre": "landing",
    "landing_spread": "landing",
    "start_side": "direction",
    "start_spread": "direction",
    "bracket_fit": "bracket",
    "bracket_held": "bracket",
    "tempo_drift": "tempo",
    "tempo_rehearsal": "tempo",
    "mishit_share": "contact",
}
"""Findings that a practice can be built around, and which part of it they belong to."""


@dataclass(frozen=True)
class Candidate:
    """A finding as a candidate for the focus; `weight` ranks."""

    key: str
    part: str
    strokes: float
    certainty: float
    expected: float

    @property
    def weight(self) -> float:
        """Strokes at stake × certainty."""
        return self.strokes * self.certainty


KEEP_ON = Candidate(NOTHING_STANDS_OUT, "all", 0.0, 0.0, 0.0)
WAIT = Candidate(TOO_EARLY, "all", 0.0, 0.0, 0.0)


def certainty(finding: Finding) -> float:
    """How far a finding is beyond noise, 0 to 1: 1 − q once found, next to nothing before.

    The fourth power keeps a lucky hint (q of 0.3, say) from outranking what is found.
    """
    if finding.verdict in {"too_early", "no_effect"}:
        return 0.0
    return (1.0 - finding.q_value) ** (1 if finding.verdict == "effect" else 4)


def ranked(findings: Sequence[Finding]) -> list[Candidate]:
    """All candidates, the heaviest first."""
    candidates = [
        Candidate(
            f.key,
            TRAINED[f.key],
            STROKES_PER_METRE * f.metres_at_stake,
            certainty(f),
            f.expected,
        )
        for f in findings
        if f.key in TRAINED
    ]
    return sorted(candidates, key=lambda c: -c.weight)


def choose_focus(findings: Sequence[Finding]) -> Candidate:
    """The one focus for next time.

    `too_early` while nothing could be judged yet, `keep_on` while nothing found is worth it.
    """
    if all(f.verdict == "too_early" for f in findings if f.key in TRAINED):
        return WAIT
    found = [f for f in findings if f.verdict == "effect" and f.key in TRAINED]
    best = ranked(found)
    return best[0] if best and best[0].weight >= WORTH_STROKES else KEEP_ON
