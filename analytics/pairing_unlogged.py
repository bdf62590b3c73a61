"""Strikes that the launch device did not log, among the swings before a shot that it did.

The swings of an unlogged shot, its rehearsals and its strike, come in a burst and would be taken
for rehearsals of the next shot. Two explanations compete: the swings before a shot are its
rehearsals and background, or one of them is an unlogged strike with rehearsals of its own, and
only what came after it can have rehearsed the shot.
"""

from dataclasses import replace

import numpy as np
from scipy.special import logsumexp

from analytics.pairing_evidence import LONG_GAP, PRIOR_SHARES, TEMPO
from analytics.pairing_logs import Floats, Ints
from analytics.pairing_patterns import PLAIN, READINGS, SLOTS
from analytics.pairing_rehearsals import (
    Habit,
    Slots,
    Strikes,
    kind_terms,
    reading_logs,
    slots_before,
)
from analytics.pairing_track import Problem

UNLOGGED_HZ = 0.003
UNLOGGED_OWN = 0.9


def bounded(
    problem: Problem, strikes: Strikes, habit: Habit, own: Floats, free: np.ndarray
) -> Strikes:
    """The strikes, each bounded by the unlogged strike that explains the swings before it better.

    Args:
        own: chance of each strike being hers, as learned, shape (n,).
        free: swings that are nobody's strike, shape (m,).
    """
    slots = _slots(problem, strikes, free)
    lone = np.unique(slots.swing[slots.there])
    if not len(lone):
        return strikes
    as_strike = np.full(len(free), -np.inf)
    as_strike[lone] = _as_unlogged(problem, lone, habit, free)
    with_it = _nearer_only(slots, habit, own) + np.where(
        slots.there, as_strike[slots.swing] + kind_terms(slots, habit)[..., PLAIN], -np.inf
    )
    whole = logsumexp(reading_logs(slots, habit, own), axis=1)
    place = with_it.argmax(1)
    rows = np.arange(len(place))
    better = with_it[rows, place] > whole
    first = np.where(better, slots.swing[rows, place] + 1, strikes.first)
    return replace(strikes, first=first)


def _slots(problem: Problem, strikes: Strikes, free: np.ndarray) -> Slots:
    swings = problem.swings
    return slots_before(strikes, swings.time, swings.log_speed, problem.evidence.signs[TEMPO], free)


def _as_unlogged(problem: Problem, lone: Ints, habit: Habit, free: np.ndarray) -> Floats:
    """Log odds of each swing being an unlogged strike: how rare they are, the gap after it, and
    how well the swings before it read as its rehearsals."""
    swings = problem.swings
    struck = np.where(free, 0, np.arange(len(free)) + 1)
    before = np.maximum.accumulate(np.concatenate([[0], struck]))[lone]
    own = np.full(len(lone), UNLOGGED_OWN)
    strikes = Strikes(swings.time[lone], swings.log_speed[lone], own, before, lone)
    gap = problem.evidence.signs[LONG_GAP][lone]
    slots = _slots(problem, strikes, free)
    up, down = PRIOR_SHARES[LONG_GAP]
    long_gap = np.log((up * gap + (1 - up) * (1 - gap)) / (down * gap + (1 - down) * (1 - gap)))
    rare = np.log(UNLOGGED_HZ / habit.background_hz)
    return np.asarray(rare + long_gap + logsumexp(reading_logs(slots, habit, own), axis=1))


def _nearer_only(slots: Slots, habit: Habit, own: Floats) -> Floats:
    """Log evidence of the readings that name only swings nearer than each slot, (n, SLOTS)."""
    logs = reading_logs(slots, habit, own)
    furthest = READINGS.slot.max(1)
    return np.stack([logsumexp(logs[:, furthest < s], axis=1) for s in range(SLOTS)], 1)
