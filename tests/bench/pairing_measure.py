"""How well the pairing does on simulated sessions with truth, scenario by scenario.

    python -m tests.bench.pairing_measure [SESSIONS] [SCENARIO …] [--seed SEED]

draws the sessions from SEED (another one is other sessions: what was chosen while looking at one
seed is judged on another) and prints one line per scenario: share accepted and refused, wrong
alignments among the accepted, precision and recall of strikes, of rehearsal attributions, accuracy
of intent, Brier score and calibration error of the stated pair probabilities, offset error and
time.
"""

import argparse
from dataclasses import dataclass, field
from time import perf_counter
from zlib import crc32

import numpy as np

from analytics.pairing import Pairing, pair
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import Session, make_session

SEED = 20
BINS = np.array([0.0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 1.0001])


@dataclass
class Score:
    """Counts over the sessions of a scenario; the rest is derived."""

    name: str
    sessions: int = 0
    accepted: int = 0
    ambiguous: int = 0
    wrong: int = 0
    pairs_right: int = 0
    pairs_made: int = 0
    pairs_true: int = 0
    rehearsals_right: int = 0
    rehearsals_made: int = 0
    rehearsals_true: int = 0
    intents_right: int = 0
    intents: int = 0
    seconds: float = 0.0
    stated: list[float] = field(default_factory=list)
    happened: list[bool] = field(default_factory=list)
    offset_errors: list[float] = field(default_factory=list)

    @property
    def refused(self) -> float:
        return (self.sessions - self.accepted) / self.sessions

    @property
    def accepted_share(self) -> float:
        return self.accepted / self.sessions

    @property
    def wrong_share(self) -> float:
        return self.wrong / max(self.accepted, 1)

    @property
    def precision(self) -> float:
        return self.pairs_right / max(self.pairs_made, 1)

    @property
    def recall(self) -> float:
        return self.pairs_right / max(self.pairs_true, 1)

    @property
    def rehearsal_precision(self) -> float:
        return self.rehearsals_right / max(self.rehearsals_made, 1)

    @property
    def rehearsal_recall(self) -> float:
        return self.rehearsals_right / max(self.rehearsals_true, 1)

    @property
    def intent(self) -> float:
        return self.intents_right / max(self.intents, 1)

    @property
    def brier(self) -> float:
        stated, happened = np.array(self.stated), np.array(self.happened, float)
        return float(np.mean((stated - happened) ** 2)) if len(stated) else 0.0

    @property
    def calibration_error(self) -> float:
        """Mean distance of stated from observed share over bins, weighted by their size."""
        stated, happened = np.array(self.stated), np.array(self.happened, float)
        place = np.digitize(stated, BINS)
        gaps = [
            abs(stated[place == k].sum() - happened[place == k].sum()) for k in np.unique(place)
        ]
        return float(sum(gaps) / max(len(stated), 1))

    @property
    def overconfidence(self) -> float:
        """By how much pairs stated at 0.98 or more fall short of what is stated."""
        stated, happened = np.array(self.stated), np.array(self.happened, float)
        top = stated >= 0.98
        return float(stated[top].mean() - happened[top].mean()) if top.any() else 0.0

    def line(self) -> str:
        offset = np.median(self.offset_errors) if self.offset_errors else np.nan
        return (
            f"{self.name:20s} n {self.sessions:4d}  refused {self.refused:.3f} "
            f"(ambiguous {self.ambiguous / self.sessions:.3f})  wrong {self.wrong_share:.4f}  "
            f"pairs {self.precision:.4f} / {self.recall:.4f}  "
            f"rehearsals {self.rehearsal_precision:.3f} / {self.rehearsal_recall:.3f}  "
            f"intent {self.intent:.3f}  Brier {self.brier:.4f}  calibration "
            f"{self.calibration_error:.4f}  offset {offset:.3f} s  "
            f"{1000 * self.seconds / self.sessions:.0f} ms"
        )


def measure(name: str, sessions: int, seed: int = SEED) -> Score:
    """The score over fresh sessions of one scenario."""
    rng = np.random.default_rng([seed, crc32(name.encode())])
    score = Score(name)
    for _ in range(sessions):
        one = make_session(SCENARIOS[name], rng)
        started = perf_counter()
        got = pair(one.launch, one.swings)
        score.seconds += perf_counter() - started
        score.sessions += 1
        score.ambiguous += got.verdict == "ambiguous"
        if got.verdict == "paired":
            _count(score, one, got)
    return score


def _count(score: Score, one: Session, got: Pairing) -> None:
    right = [one.struck.get(found.shot) == found.swing for found in got.pairs]
    score.accepted += 1
    score.wrong += sum(right) < 0.5 * len(right)
    score.pairs_right += sum(right)
    score.pairs_made += len(right)
    score.pairs_true += len(one.struck)
    score.stated += [found.probability for found in got.pairs]
    score.happened += right
    _count_rehearsals(score, one, got)
    if got.clock is not None and one.struck:
        shots, swings = np.array(list(one.struck)), np.array(list(one.struck.values()))
        seen = one.swings.times_s[swings] - one.launch.times_s[shots]
        away = seen - got.clock.offset_at(one.launch.times_s[shots])
        score.offset_errors.append(float(abs(np.median(away))))


def _count_rehearsals(score: Score, one: Session, got: Pairing) -> None:
    true = {swing: (shot, role) for swing, (shot, role) in one.rehearsed.items() if shot >= 0}
    made = {r.swing: (r.shot, r.role) for r in got.rehearsals if r.shot is not None}
    hits = [swing for swing in made if swing in true and true[swing][0] == made[swing][0]]
    meant = [swing for swing in hits if true[swing][1] != "rehearse"]
    score.rehearsals_right += len(hits)
    score.rehearsals_made += len(made)
    score.rehearsals_true += len(true)
    score.intents += len(meant)
    score.intents_right += sum(true[swing][1] == made[swing][1] for swing in meant)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sessions", type=int, nargs="?", default=200)
    parser.add_argument("scenarios", nargs="*", metavar="SCENARIO")
    parser.add_argument("--seed", type=int, default=SEED)
    given = parser.parse_args()
    for name in given.scenarios or SCENARIOS:
        print(measure(name, given.sessions, given.seed).line(), flush=True)


if __name__ == "__main__":
    main()
