"""All explanations of two logs, best first: from raw offsets to settled alignments."""

from dataclasses import dataclass, field

import numpy as np

from analytics.pairing_evidence import swing_evidence
from analytics.pairing_logs import Side
from analytics.pairing_offsets import find_candidates
from analytics.pairing_refit import settle
from analytics.pairing_steps import Alignment, explain
from analytics.pairing_track import Problem, start_tracks

PEAKS, KEPT = 20, 12


@dataclass(frozen=True)
class Settled:
    """What a person settled, by place in the sorted logs.

    pinned: swing of a shot. forbidden: (shot, swing). around_s: an offset to stay near, or None to
    search everywhere. not_struck: swings that struck no ball.
    """

    pinned: dict[int, int] = field(default_factory=dict)
    forbidden: frozenset[tuple[int, int]] = frozenset()
    around_s: float | None = None
    not_struck: frozenset[int] = frozenset()


NOTHING = Settled()


def explanations(
    shots: Side, swings: Side, settled: Settled = NOTHING
) -> tuple[Problem, list[Alignment]]:
    """The problem as posed and its explanations, which differ in what they pair."""
    evidence = swing_evidence(swings)
    found = find_candidates(shots, swings, evidence, settled.around_s, PEAKS)
    problem = Problem(
        shots, swings, evidence, found.range_s, settled.around_s, settled.pinned,
        settled.forbidden, settled.not_struck,
    )  # fmt: skip
    by_hand = np.array([swings.time[k] - shots.time[j] for j, k in settled.pinned.items()])
    tracks = start_tracks(
        problem,
        np.append(found.offset_s, by_hand),
        np.append(found.drift, np.zeros(len(by_hand))),
    )
    return problem, explain(problem, *settle(problem, tracks, KEPT))
