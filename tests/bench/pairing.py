"""The pairing against its aims, on simulated sessions with truth.

The whole table, scenario by scenario: `python -m tests.bench.pairing_measure`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from time import process_time

import numpy as np

from analytics.pairing import pair
from tests.bench.pairing_measure import Score, measure
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import make_session
from tests.bench.rows import Row

GROUP = "pairing"


@dataclass(frozen=True)
class Aim:
    """Least precision and recall of pairs and rehearsals, least intent, most refused and wrong."""

    precision: float
    recall: float
    refused: float
    rehearsal_precision: float = 0.0
    rehearsal_recall: float = 0.0
    intent: float = 0.0
    wrong: float = 0.003


USUAL = Aim(0.995, 0.98, 0.01, 0.95, 0.95, 0.92)
TWO = Aim(0.99, 0.98, 0.02, 0.94, 0.94, 0.92)
EIGHT = Aim(0.99, 0.99, 0.04, 0.94, 0.94, 0.92)
NOISY = Aim(0.99, 0.98, 0.02, 0.86, 0.94, 0.85)
EVEN = Aim(0.99, 0.98, 0.08, 0.94, 0.95, 0.90, wrong=0.02)
LIMIT = Aim(0.98, 0.0, 1.0, wrong=0.02)
AIMS = {
    **dict.fromkeys(("plain", "one_second", "step", "hour_step", "drift", "wrong_day"), USUAL),
    **dict.fromkeys(
        ("half_overlap", "switched_off", "misses", "dirty", "shots_12", "shots_300"), USUAL
    ),
    **dict.fromkeys(("two_alternate", "two_blocks", "two_random"), TWO),
    "shots_8": EIGHT,
    "noisy": NOISY,
    "metronome": EVEN,
    **dict.fromkeys(("metronome_1s", "metronome_8", "shots_4"), LIMIT),
}
UNRELATED = {
    **dict.fromkeys(
        ("unrelated", "unrelated_8", "unrelated_1s", "unrelated_noisy", "unrelated_300"), 0.003
    ),
    **dict.fromkeys(
        ("unrelated_equal", "unrelated_equal_1s", "unrelated_equal_8", "unrelated_metronome"), 0.01
    ),
}
LONG = {"shots_300", "unrelated_300"}


def rows(quick: bool = False) -> list[Row]:
    """Every aim, scenario by scenario; then false acceptance, calibration and time."""
    sessions = 20 if quick else 200
    scores = {name: measure(name, _sessions(name, sessions)) for name in AIMS}
    return [
        *(row for name, score in scores.items() for row in _against(score, AIMS[name])),
        *_false_acceptance(sessions),
        *_calibration(scores),
        _time_ratio(),
    ]


def _sessions(name: str, sessions: int) -> int:
    return max(10, sessions // 10) if name in LONG else sessions


def _against(score: Score, aim: Aim) -> Iterator[Row]:
    yield _most(f"{score.name}: related sessions refused", score.refused, aim.refused)
    if not score.accepted:
        return
    yield _most(f"{score.name}: wrong alignments accepted", score.wrong_share, aim.wrong)
    for what in ("precision", "recall", "rehearsal_precision", "rehearsal_recall", "intent"):
        least = getattr(aim, what)
        if least > 0:
            yield _least(f"{score.name}: {what.replace('_', ' ')}", getattr(score, what), least)


def _false_acceptance(sessions: int) -> Iterator[Row]:
    for name, most in UNRELATED.items():
        score = measure(name, _sessions(name, sessions))
        yield _most(f"{name}: unrelated logs accepted", score.accepted_share, most)


def _calibration(scores: dict[str, Score]) -> Iterator[Row]:
    together = Score("all")
    for score in scores.values():
        together.stated += score.stated
        together.happened += score.happened
    yield _most("pair probability: calibration error", together.calibration_error, 0.01)
    yield _most("pair probability: over-confidence at the top", together.overconfidence, 0.01)


def _time_ratio() -> Row:
    """Time of ten times the shots over time of the shots, the better of three runs each."""
    spent = []
    for shots in (30, 300):
        setting = replace(SCENARIOS["plain"], shots=shots)
        one = make_session(setting, np.random.default_rng(1))
        runs = []
        for _ in range(3):
            started = process_time()
            pair(one.launch, one.swings)
            runs.append(process_time() - started)
        spent.append(min(runs))
    ratio = spent[1] / spent[0]
    aim = "at most 15 per tenfold events"
    return Row("time, 300 shots over 30", GROUP, None, ratio, aim, ratio <= 15)


def _most(name: str, value: float, most: float) -> Row:
    return Row(name, GROUP, value, None, f"at most {most}", value <= most)


def _least(name: str, value: float, least: float) -> Row:
    return Row(name, GROUP, value, None, f"at least {least}", value >= least)
