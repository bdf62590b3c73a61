"""What each swing was: a rehearsal of a shot, a warm-up, or something else, and why.

A swing is given to a shot only when that is likelier than `ATTRIBUTE`; its intent is named only
when one intent is likelier than `INTENT`. Shots of which the sensor saw no strike still have
rehearsals, found before the time at which their strike should be; so do strikes that the launch
device did not log, and those rehearse no known shot.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from analytics.pairing_evidence import TEMPO
from analytics.pairing_logs import Floats, Ints
from analytics.pairing_patterns import LONG, SHORT
from analytics.pairing_rehearsals import (
    REACH_S,
    Strikes,
    read_rehearsals,
    slot_chance,
    slots_before,
    weigh,
)
from analytics.pairing_steps import Alignment
from analytics.pairing_track import Problem, predicted
from analytics.pairing_unlogged import bounded

ATTRIBUTE = 0.6
INTENT = 0.7
ORPHAN_SIGNS = 1.2
ORPHAN_CHANCE = 0.8
SLOW_LOG = -0.45
USUAL_LOSS = 0.04
STRIDE_S = 0.8

WARM_UP = "warm_up: before the first paired shot"
SLOW = "too slow for a rehearsal: a waggle or a practice stroke"
STRAY = "no shot it would rehearse: a stray swing, or the launch device missed the ball"
AFTER = "after the last shot of the launch log"
BY_HAND = "set by hand"

HandRole = tuple[str, int | None]
"""What a person said a swing was, and of which shot (None: of the next one)."""


@dataclass(frozen=True)
class Rehearsal:
    """A swing that rehearsed a shot (None: a strike the launch log does not have)."""

    swing: int
    shot: int | None
    role: str
    probability: float


def label_roles(
    problem: Problem, one: Alignment, swing_of: Ints, by_hand: Mapping[int, HandRole]
) -> tuple[list[Rehearsal], list[tuple[int, str]], Floats]:
    """Rehearsals, the remaining swings with why, and how strongly each swing was claimed.

    Indices are those of the sorted logs; the claims have shape (m,), 0 to 1.

    Args:
        swing_of: the paired swing of each shot, −1 for none, shape (n,).
        by_hand: roles that a person gave to swings; they stand.
    """
    swings = problem.swings
    free = np.ones(len(swings), bool)
    free[swing_of[swing_of >= 0]] = False
    free[list(by_hand)] = False
    strikes = _strikes(problem, one, swing_of)
    tempo = problem.evidence.signs[TEMPO]
    slots = slots_before(strikes, swings.time, swings.log_speed, tempo, free)
    _, habit, own = read_rehearsals(slots, strikes.own, swing_of >= 0)
    strikes = bounded(problem, strikes, habit, own, free)
    slots = slots_before(strikes, swings.time, swings.log_speed, tempo, free)
    chance, habit, _ = read_rehearsals(slots, strikes.own, swing_of >= 0)
    found = _attribute(slots.swing, chance, np.arange(len(swing_of)))
    claim = np.zeros(len(swings))
    np.maximum.at(claim, slots.swing[slots.there], chance.sum(2)[slots.there])
    taken = {one.swing for one in found}
    orphans = _orphans(problem, one, free, taken)
    if len(orphans.time_s):
        left = free.copy()
        left[list(taken)] = False
        spare = slots_before(orphans, swings.time, swings.log_speed, tempo, left)
        weight = weigh(spare, habit, orphans.own)
        extra = np.stack([slot_chance(weight, kind) for kind in range(3)], 2)
        found += _attribute(spare.swing, np.where(extra > 0.8, extra, 0.0), None)
    said, named = _said(by_hand, strikes, swings.time)
    done = {one.swing for one in found} | set(by_hand)
    other = sorted(named + _others(problem, swing_of, done))
    return found + said, other, np.minimum(claim, 1.0)


def _said(
    by_hand: Mapping[int, HandRole], strikes: Strikes, time: Floats
) -> tuple[list[Rehearsal], list[tuple[int, str]]]:
    """Rehearsals and other swings as a person named them; a rehearsal without a shot was for
    the next strike."""
    said, named = [], []
    for swing, (role, shot) in by_hand.items():
        if not role.startswith("rehearse"):
            named.append((swing, f"{role}: {BY_HAND}"))
            continue
        wait = np.where(strikes.time_s > time[swing], strikes.time_s - time[swing], np.inf)
        following = int(wait.argmin()) if wait.min() < REACH_S else None
        said.append(Rehearsal(swing, following if shot is None else shot, role, 1.0))
    return said, named


def _strikes(problem: Problem, one: Alignment, swing_of: Ints) -> Strikes:
    """Seen strikes where they are, unseen ones where the clock map puts them."""
    n, time = len(swing_of), problem.swings.time
    segment = one.segment(n)
    expected = predicted(problem, one.tracks)[segment, np.arange(n)]
    seen = swing_of >= 0
    at = np.maximum(swing_of, 0)
    own_rate = np.clip(USUAL_LOSS / (1 - one.tracks.hit[segment] + 1e-6), 0.02, 0.8)
    inside = (expected > time[0]) & (expected < time[-1] + 30)
    own = np.where(seen, 1.0, np.where(inside, own_rate, 0.0))
    strike_s = np.where(seen, time[at], expected)
    speed = one.tracks.speed_at[segment] + one.tracks.speed_power[segment] * problem.shots.log_speed
    log_speed = np.where(seen, problem.swings.log_speed[at], speed)
    after = np.where(seen, at, np.searchsorted(time, expected - STRIDE_S))
    bound = np.where(seen, at + 1, np.where(own > 0.4, np.searchsorted(time, expected), 0))
    return Strikes(strike_s, log_speed, own, _last_before(bound, after, segment), after)


def _last_before(bound: Ints, after: Ints, segment: Ints) -> Ints:
    """The furthest bound among earlier shots that lies before each shot's own strike.

    A clock set back puts later shots before earlier ones in the sensor's order, so bounds of
    earlier segments count only where they lie before the strike.
    """
    first = np.zeros(len(bound), np.int64)
    for number in np.unique(segment):
        rows = np.flatnonzero(segment == number)
        within = np.concatenate([[0], np.maximum.accumulate(bound[rows])[:-1]])
        earlier = np.sort(np.append(bound[: rows[0]], 0))
        outside = earlier[np.searchsorted(earlier, after[rows], side="right") - 1]
        first[rows] = np.maximum(within, outside)
    return first


def _attribute(swing: Ints, chance: Floats, shots: Ints | None) -> list[Rehearsal]:
    """Likely attributions; a swing that two strikes claim goes to the likelier one."""
    total = chance.sum(2)
    best: dict[int, tuple[float, int, int]] = {}
    for j, s in np.argwhere((total >= ATTRIBUTE) & (swing >= 0)):
        claim = (float(total[j, s]), int(j), int(s))
        best[int(swing[j, s])] = max(claim, best.get(int(swing[j, s]), claim))
    return [
        Rehearsal(k, None if shots is None else int(shots[j]), _role(chance[j, s]), min(p, 1.0))
        for k, (p, j, s) in sorted(best.items())
    ]


def _role(chance: Floats) -> str:
    share = chance / chance.sum()
    if share[LONG] >= INTENT:
        return "rehearse_long"
    return "rehearse_short" if share[SHORT] >= INTENT else "rehearse"


def _orphans(problem: Problem, one: Alignment, free: np.ndarray, taken: set[int]) -> Strikes:
    """Swings that look like strikes although the launch log has no ball for them."""
    signs = one.tracks.signs.max(0)
    lone = [k for k in np.flatnonzero(free & (signs > ORPHAN_SIGNS)) if k not in taken]
    index = np.array(lone, np.int64)
    struck = np.where(free, 0, np.arange(len(free)) + 1)
    before = np.concatenate([[0], np.maximum.accumulate(struck)])[index]
    return Strikes(
        problem.swings.time[index], problem.swings.log_speed[index],
        np.full(len(lone), ORPHAN_CHANCE), before, index,
    )  # fmt: skip


def _others(problem: Problem, swing_of: Ints, rehearsed: set[int]) -> list[tuple[int, str]]:
    paired = swing_of[swing_of >= 0]
    strikes = set(paired.tolist())
    first, last = (
        (int(paired.min()), int(paired.max())) if len(paired) else (0, len(problem.swings))
    )
    usual = np.nanmedian(problem.swings.log_speed[paired]) if _known(problem, paired) else np.nan
    out = []
    for k in range(len(problem.swings)):
        if k in strikes or k in rehearsed:
            continue
        slow = problem.swings.log_speed[k] - usual < SLOW_LOG
        why = WARM_UP if k < first else AFTER if k > last else STRAY
        out.append((k, SLOW if slow else why))
    return out


def _known(problem: Problem, paired: Ints) -> bool:
    return bool(np.isfinite(problem.swings.log_speed[paired]).any())
