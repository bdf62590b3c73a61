"""What these very logs would reach by chance: the same search over shots with a rhythm redrawn.

A threshold on evidence cannot know how easily two particular logs lock onto each other: even
rhythms and clustered swings do so far more readily than others. Where the evidence is not
overwhelming, the shots' gaps are redrawn from their own distribution, which keeps the kind of
rhythm and breaks its order, and the whole search is run again. The logs belong together only if
they fit clearly better than the best of these stand-ins.
"""

from dataclasses import replace

import numpy as np

from analytics.pairing_logs import Floats, Side
from analytics.pairing_search import explanations
from analytics.pairing_steps import Alignment
from analytics.pairing_track import Problem
from analytics.pairing_verdict import (
    MEND,
    Judgement,
    chance_level,
    is_even,
    is_settled,
    plain_chance_level,
)

STAND_INS = 6
OVERWHELMING, OVERWHELMING_JUMP = 4.0, 3.0
CLEARLY_NATS, CLEARLY_NATS_PER_LOG_SHOT = 3.0, 1.1


def beyond_chance(problem: Problem, found: list[Alignment], judgement: Judgement) -> Judgement:
    """The judgement, turned into a refusal where stand-ins fit about as well."""
    best = found[0]
    if judgement.verdict != "paired" or is_settled(problem) or is_even(problem):
        return judgement
    if best.log_evidence > _overwhelming(problem, best):
        return judgement
    by_chance = max(stand_in_evidence(problem, STAND_INS))
    clearly = CLEARLY_NATS + CLEARLY_NATS_PER_LOG_SHOT * np.log(len(problem.shots))
    if best.log_evidence > by_chance + clearly:
        return judgement
    reason = (
        "The two logs fit each other no better than shots with the same kind of rhythm in another"
        f" order would ({best.log_evidence:.1f} nats against {by_chance:.1f} by chance)."
    )
    return replace(judgement, verdict="cannot_pair", reason=reason, mend=MEND)


def _overwhelming(problem: Problem, best: Alignment) -> float:
    """Evidence that no stand-in comes near, nats; a clock that jumps fits more by chance."""
    if len(best.starts) > 1:
        return OVERWHELMING_JUMP * chance_level(problem, best)
    return OVERWHELMING * plain_chance_level(len(problem.shots))


def stand_in_evidence(problem: Problem, runs: int) -> list[float]:
    """Evidence of the best explanation for each of `runs` stand-ins for the launch log."""
    rng = np.random.default_rng(len(problem.shots))
    out = []
    for _ in range(runs):
        shots = replace(problem.shots, time=redrawn(problem.shots, rng))
        out.append(explanations(shots, problem.swings, {}, set(), None)[1][0].log_evidence)
    return out


def redrawn(shots: Side, rng: np.random.Generator) -> Floats:
    """Shot times with gaps drawn from the distribution of the gaps, on the same grid of stamps."""
    gaps = np.quantile(np.diff(shots.time), rng.random(len(shots) - 1))
    time = shots.time[0] + np.concatenate([[0.0], np.cumsum(gaps)])
    step = shots.grid_s
    return np.asarray(np.round(time / step) * step if step > 0 else time)
