"""When an alignment may be believed.

Rules (thresholds set by simulation of related and unrelated logs)
-----
1. The evidence must beat chance: nats over "these logs have nothing to do with each other", with
   the price of having searched all offsets already paid. More shots give chance more to play with.
2. It must beat every other alignment by a clear margin.
3. Where another alignment explains the logs nearly as well (an even rhythm), margin alone does not
   tell related logs from two players keeping the same beat: stand-ins with the same beat must fit
   clearly worse (`pairing_chance`), or a little worse while the small deviations from the beat
   agree. If only that fails the answer is "ambiguous", with the offsets that fit.
4. A pair or an offset set by hand settles what the logs cannot; little evidence is then enough.
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from analytics.pairing_logs import Floats
from analytics.pairing_steps import Alignment
from analytics.pairing_track import Problem

Verdict = Literal["paired", "ambiguous", "cannot_pair"]

FEWEST = 3
CHANCE_NATS, CHANCE_NATS_PER_LOG_SHOT = 5.0, 2.0
NATS_PER_MATCH, FREE_MATCHES = 1.2, 4.0
JUMP_NATS, JUMP_NATS_PER_MATCH = 15.0, 0.35
SETTLED_NATS = 3.0
LEAST_MARGIN, LEAST_MARGIN_EVEN = 6.0, 8.0
STRONG_SHARE, STRONG_NATS = 0.4, 10.0
EVEN_SCORE, EVEN_MARGIN_UNIT, EVEN_AGREEMENT = 5.25, 8.0, 1.0
EVEN_NOISE_S = 0.3
COARSE_GRID_S = 0.5
TEMPER = 1.5

MEND = (
    "Pair one shot with its swing by hand (the rest follows), set the clock offset by hand, or make"
    " one marked event next time: three quick swings, the last one striking a ball."
)


@dataclass(frozen=True)
class Judgement:
    """The verdict on the best alignment, in words too."""

    verdict: Verdict
    reason: str
    mend: str
    margin: float
    posterior: float


def too_few(shots: int, swings: int) -> Judgement | None:
    """A refusal where there is too little to compare; else None."""
    if min(shots, swings) >= FEWEST:
        return None
    reason = (
        f"Too few events: {shots} shots and {swings} swings with a time; at least {FEWEST} of each"
        " are needed."
    )
    return Judgement("cannot_pair", reason, MEND, 0.0, 0.0)


def judge(problem: Problem, found: list[Alignment]) -> Judgement:
    """Whether the best alignment may be believed, against chance and against its rivals."""
    best, rivals = found[0], found[1:]
    settled = is_settled(problem)
    least = SETTLED_NATS if settled else chance_level(problem, best)
    margin = best.log_evidence - max([0.0, *(one.log_evidence for one in rivals)])
    posterior = _posterior(found)
    if best.log_evidence < least:
        reason = (
            "The rhythm and speeds of the two logs do not fit each other at any clock offset better"
            f" than unrelated logs would ({best.log_evidence:.1f} of {least:.1f} nats needed)."
        )
        return Judgement("cannot_pair", reason, MEND, margin, posterior)
    paired = fits_once(Judgement("paired", "", "", margin, posterior))
    enough = SETTLED_NATS if settled else LEAST_MARGIN
    return paired if margin >= enough else ambiguous(found, paired)


def fits_once(judgement: Judgement) -> Judgement:
    """The logs belong together, by this margin."""
    reason = (
        f"The logs fit each other at one clock offset, {judgement.margin:.0f} nats better than at"
        " any other."
    )
    return replace(judgement, verdict="paired", reason=reason, mend="")


def is_settled(problem: Problem) -> bool:
    """Whether a person has said where the logs meet."""
    return bool(problem.pinned) or problem.around_s is not None


def plain_chance_level(shots: int) -> float:
    """What unrelated logs of different rhythms hardly reach, nats."""
    return float(CHANCE_NATS + CHANCE_NATS_PER_LOG_SHOT * np.log(max(shots, 1)))


def chance_level(problem: Problem, best: Alignment) -> float:
    """Nats that chance hardly reaches: more with more shots, much more where the clock may jump."""
    n, jumps = len(problem.shots), len(best.starts) - 1
    least = plain_chance_level(n) + JUMP_NATS * jumps
    matched = float(best.matches(n)[1].sum())
    least = max(least, NATS_PER_MATCH * (matched - FREE_MATCHES))
    if jumps:
        least = max(least, JUMP_NATS_PER_MATCH * (2 + jumps) * matched)
    return float(least)


def strong_rivals(found: list[Alignment]) -> list[Alignment]:
    """Other alignments that explain much of what the best one explains: the mark of a beat."""
    least = max(STRONG_NATS, STRONG_SHARE * found[0].log_evidence)
    return [one for one in found[1:] if one.log_evidence > least]


def ambiguous(found: list[Alignment], judgement: Judgement) -> Judgement:
    """The refusal to choose, with the offsets to choose from."""
    offsets = " and ".join(f"{float(one.tracks.offset_s[0]):+.1f} s" for one in found[:3])
    reason = (
        f"The rhythm is too even to tell: clock offsets of {offsets} explain the logs about equally"
        f" well (margin {judgement.margin:.1f} nats)."
    )
    return replace(judgement, verdict="ambiguous", reason=reason, mend=MEND)


def sure_of_beat(problem: Problem, best: Alignment, margin: float) -> bool:
    """Whether an even rhythm still agrees in its small deviations."""
    if margin < LEAST_MARGIN_EVEN or best.tracks.noise_s.max() > EVEN_NOISE_S:
        return False
    if max(problem.shots.grid_s, problem.swings.grid_s) >= COARSE_GRID_S:
        return False  # whole-second stamps of one beat agree by themselves
    agreement = beat_agreement(problem, best)
    return agreement >= EVEN_AGREEMENT and margin / EVEN_MARGIN_UNIT + agreement >= EVEN_SCORE


def beat_agreement(problem: Problem, best: Alignment) -> float:
    """Fisher z score of the correlation between both logs' deviations from the beat.

    Deviations are those of intervals between paired neighbours from whole multiples of the usual
    interval, so that a shared beat by itself counts nothing.
    """
    n = len(problem.shots)
    assigned = best.assigned(n)
    rows = np.flatnonzero(assigned >= 0)
    if len(rows) < 5:
        return 0.0
    shot, swing = problem.shots.time[rows], assigned[rows]
    stretch = best.tracks.stretch[best.segment(n)[rows]]
    sensor = problem.swings.time[swing] - stretch * problem.duration()[swing]
    interval = np.diff(shot)
    beat = float(np.median(interval))
    beats = np.round(interval / beat)
    near = (beats >= 1) & (beats <= 3) & (np.diff(best.segment(n)[rows]) == 0)
    own = _clipped((interval - beats * beat)[near])
    other = _clipped((np.diff(sensor) - beats * beat)[near])
    if len(own) < 4 or own.std() < 1e-6 or other.std() < 1e-6:
        return 0.0
    r = float(np.clip(np.corrcoef(own, other)[0, 1], -0.9999, 0.9999))
    return float(np.arctanh(r) * np.sqrt(len(own) - 3))


def _clipped(values: Floats) -> Floats:
    """About the median, clipped at three robust SDs, so that one pause does not decide."""
    if not len(values):
        return values
    values = values - np.median(values)
    limit = 3 * 1.4826 * np.median(np.abs(values)) + 1e-9
    return np.asarray(np.clip(values, -limit, limit))


def _posterior(found: list[Alignment]) -> float:
    """Tempered probability of the best against the others and against no relation."""
    scores = np.array([one.log_evidence for one in found] + [0.0]) / TEMPER
    return float(1.0 / np.exp(scores - scores[0]).sum())
