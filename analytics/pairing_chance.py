"""What these very logs would reach by chance: the same search over shots with their rhythm turned.

A threshold on evidence cannot know how easily two particular logs lock onto each other: even
rhythms and clustered swings do so far more readily than others. Where the evidence is not
overwhelming, or another offset explains the logs nearly as well, stand-ins for the launch log are
searched in the same way: its gaps in reverse, begun somewhere in the middle. They keep every habit
of the rhythm, a beat among them, and belong to no swing. The logs belong together only if they fit
clearly better than the best stand-in; of an even rhythm more is asked. A stretch behind a jump of
the clock must pass the same test by itself, or the jump is dropped.
"""

from dataclasses import replace

import numpy as np

from analytics.pairing_logs import Floats, Side
from analytics.pairing_search import explanations
from analytics.pairing_steps import Alignment, jump_gain, part_of, without
from analytics.pairing_track import Problem
from analytics.pairing_verdict import (
    MEND,
    Judgement,
    ambiguous,
    chance_level,
    fits_once,
    is_settled,
    plain_chance_level,
    strong_rivals,
    sure_of_beat,
)

STAND_INS = 6
OVERWHELMING, OVERWHELMING_JUMP = 4.0, 3.0
CLEARLY_NATS, CLEARLY_NATS_PER_LOG_SHOT = 3.0, 1.1
EVEN_NATS, EVEN_SURE_NATS = 10.0, 3.0
FAR = 2.0
JUMP_CLEARLY_NATS = 3.0


def beyond_chance(problem: Problem, found: list[Alignment], judgement: Judgement) -> Judgement:
    """The judgement, turned round where stand-ins fit about as well, or stay far behind."""
    best, even = found[0], bool(strong_rivals(found))
    if is_settled(problem) or judgement.verdict == "ambiguous":
        return judgement
    if judgement.verdict == "cannot_pair":
        hopeful = not even and _hopeful(problem, best, judgement)
        return _far_from_chance(problem, best, judgement) if hopeful else judgement
    if not even and best.log_evidence > _overwhelming(problem, best):
        return judgement
    by_chance = max(stand_in_evidence(problem.shots, problem, STAND_INS))
    over = best.log_evidence - by_chance
    if even:
        sure = over > EVEN_SURE_NATS and sure_of_beat(problem, best, judgement.margin)
        return judgement if over > EVEN_NATS or sure else ambiguous(found, judgement)
    if over > clearly(len(problem.shots)):
        return judgement
    reason = (
        "The two logs fit each other no better than shots with the same kind of rhythm in another"
        f" order would ({best.log_evidence:.1f} nats against {by_chance:.1f} by chance)."
    )
    return replace(judgement, verdict="cannot_pair", reason=reason, mend=MEND)


def clearly(shots: int) -> float:
    """By how much related logs outdo the best of their stand-ins, nats."""
    return float(CLEARLY_NATS + CLEARLY_NATS_PER_LOG_SHOT * np.log(shots))


def _hopeful(problem: Problem, best: Alignment, judgement: Judgement) -> bool:
    """Whether only the little evidence that each match brings speaks against the alignment."""
    plain = plain_chance_level(len(problem.shots))
    return len(best.starts) == 1 and best.log_evidence > plain and judgement.margin > plain


def _far_from_chance(problem: Problem, best: Alignment, judgement: Judgement) -> Judgement:
    """Paired where every stand-in stays far behind; else as judged.

    Coarse stamps and unsteady swings leave little evidence per match, and many such matches are
    what dense logs reach by chance: here the stand-ins say how much.
    """
    by_chance = max(stand_in_evidence(problem.shots, problem, STAND_INS))
    far = best.log_evidence - by_chance > FAR * clearly(len(problem.shots))
    return fits_once(judgement) if far else judgement


def _overwhelming(problem: Problem, best: Alignment) -> float:
    """Evidence that no stand-in comes near, nats; a clock that jumps fits more by chance."""
    if len(best.starts) > 1:
        return OVERWHELMING_JUMP * chance_level(problem, best)
    return OVERWHELMING * plain_chance_level(len(problem.shots))


def without_chance_jumps(problem: Problem, found: list[Alignment]) -> list[Alignment]:
    """The explanations, the best one without stretches that chance explains as well."""
    best = found[0]
    while len(best.starts) > 1:
        weakest = _chance_stretch(problem, best)
        if weakest is None:
            break
        best = without(problem, best, weakest)
    if best is found[0]:
        return found
    return sorted([best, *found[1:]], key=lambda one: -one.log_evidence)


def _chance_stretch(problem: Problem, one: Alignment) -> int | None:
    """The first stretch, the best one apart, that its own stand-ins explain about as well."""
    main = int(one.fit.log_evidence.argmax())
    for number in range(len(one.starts)):
        if number == main:
            continue
        rows = np.flatnonzero(one.segment(len(problem.shots)) == number)
        gain = float(one.fit.log_evidence[number]) + jump_gain(problem, one, number)
        if gain > OVERWHELMING * plain_chance_level(len(rows)):
            continue
        if len(rows) < 3:
            return number
        part = part_of(problem.shots, rows)
        if gain < max(stand_in_evidence(part, problem, STAND_INS)) + JUMP_CLEARLY_NATS:
            return number
    return None


def stand_in_evidence(shots: Side, problem: Problem, runs: int) -> list[float]:
    """Evidence of the best explanation for each of `runs` stand-ins for these shots."""
    rng = np.random.default_rng(len(shots))
    turns = rng.permutation(len(shots) - 1)[:runs]
    times = [turned(shots, int(turn)) for turn in turns]
    times += [redrawn(shots, rng) for _ in range(runs - len(turns))]
    out = []
    for time in times:
        stand_in = replace(shots, time=time)
        out.append(explanations(stand_in, problem.swings)[1][0].log_evidence)
    return out


def turned(shots: Side, turn: int) -> Floats:
    """Shot times with the gaps in reverse order, begun `turn` gaps further on."""
    gaps = np.roll(np.diff(shots.time)[::-1], turn)
    return np.asarray(shots.time[0] + np.concatenate([[0.0], np.cumsum(gaps)]))


def redrawn(shots: Side, rng: np.random.Generator) -> Floats:
    """Shot times with gaps drawn from the distribution of the gaps, on the same grid of stamps."""
    gaps = np.quantile(np.diff(shots.time), rng.random(len(shots) - 1))
    time = shots.time[0] + np.concatenate([[0.0], np.cumsum(gaps)])
    step = shots.grid_s
    return np.asarray(np.round(time / step) * step if step > 0 else time)
