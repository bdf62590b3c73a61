"""All explanations of two logs, best first: from raw offsets to settled alignments."""

import numpy as np

from analytics.pairing_evidence import swing_evidence
from analytics.pairing_logs import Side
from analytics.pairing_offsets import find_candidates
from analytics.pairing_refit import settle
from analytics.pairing_steps import Alignment, explain
from analytics.pairing_track import Problem, start_tracks

PEAKS, KEPT = 20, 12


def explanations(
    shots: Side,
    swings: Side,
    pinned: dict[int, int],
    forbidden: set[tuple[int, int]],
    around_s: float | None,
) -> tuple[Problem, list[Alignment]]:
    """The problem as posed and its explanations, which differ in what they pair.

    Args:
        pinned: swing of each shot that a person settled.
        forbidden: (shot, swing) that a person ruled out.
        around_s: a hand-set offset to stay near, or None to search everywhere.
    """
    evidence = swing_evidence(swings)
    found = find_candidates(shots, swings, evidence, around_s, PEAKS)
    problem = Problem(
        shots, swings, evidence, found.range_s, around_s, pinned, frozenset(forbidden)
    )
    by_hand = np.array([swings.time[k] - shots.time[j] for j, k in pinned.items()])
    tracks = start_tracks(
        problem,
        np.append(found.offset_s, by_hand),
        np.append(found.drift, np.zeros(len(by_hand))),
    )
    return problem, explain(problem, *settle(problem, tracks, KEPT))
