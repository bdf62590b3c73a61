"""The ways to read the swings before a strike: which of them are rehearsals, and meant how.

A pattern is what a player may do before a strike: long then short as the drill has it, the other
order, one rehearsal only, several with no clear intent, none. A reading is a pattern laid over the
swings that are there, nearest first; what it does not name is a waggle or a stray.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from analytics.pairing_logs import Ints

SLOTS = 7
MOST = 4
LONG, SHORT, PLAIN = 0, 1, 2

# How often each reading is met before anything is known of the player, as prior counts.
PATTERNS: tuple[tuple[tuple[int, ...], float], ...] = (
    ((), 1.0),
    ((LONG,), 0.5),
    ((SHORT,), 0.5),
    ((PLAIN,), 0.7),
    ((LONG, SHORT), 5.0),
    ((SHORT, LONG), 0.3),
    ((PLAIN, PLAIN), 0.7),
    ((LONG, LONG, SHORT), 0.1),
    ((LONG, SHORT, SHORT), 0.1),
    ((PLAIN, PLAIN, PLAIN), 0.2),
    ((PLAIN, LONG, SHORT), 0.15),
    ((PLAIN, SHORT, LONG), 0.05),
    ((PLAIN, PLAIN, LONG, SHORT), 0.05),
    ((PLAIN, PLAIN, PLAIN, PLAIN), 0.05),
)


@dataclass(frozen=True)
class Readings:
    """All readings: slot and kind of each named swing (h, MOST), −1 where fewer; pattern (h,)."""

    slot: Ints
    kind: Ints
    pattern: Ints


def all_readings() -> Readings:
    """Every choice of slots for every pattern."""
    slots, kinds, patterns = [], [], []
    for number, (pattern, _) in enumerate(PATTERNS):
        for chosen in combinations(range(SLOTS), len(pattern)):
            pad = MOST - len(pattern)
            slots.append(list(reversed(chosen)) + [-1] * pad)
            kinds.append(list(pattern) + [-1] * pad)
            patterns.append(number)
    return Readings(np.array(slots), np.array(kinds), np.array(patterns))


READINGS = all_readings()
