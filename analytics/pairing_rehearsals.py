"""Which swings rehearsed which shot: every way to read the swings before a strike, weighed.

Before each strike up to seven swings are looked at, back to the strike before. A reading names up
to four of them as rehearsals (meant long, meant short, or with no clear intent) and leaves the
rest as waggles and strays. Its weight is how usual such a reading is for this player, times how
well gaps and speed ratios fit a rehearsal rather than the background. Gaps, ratios, background and
habits start from priors and are learned from the session's own strikes in a few rounds.
"""

from dataclasses import dataclass

import numpy as np

from analytics.pairing_logs import Floats, Ints
from analytics.pairing_patterns import LONG, MOST, PATTERNS, READINGS, SHORT, SLOTS

TOO_SLOW_LOG = -0.55
REACH_S = 75.0
LEARNING_ROUNDS = 4

GAP_MEAN, GAP_SD, GAP_COUNT = np.log(6.0), 0.45, 4.0
LONE_LONG_GAP = (np.log(11.0), 0.5)
RATIO_MEAN, RATIO_SD, RATIO_COUNT = (0.1, -0.1), 0.06, 6.0
PLAIN_RATIO_SD = 0.15
FASTEST_LOG = 0.7
OWN_COUNT = 4.0
TEMPO_SHARE_REHEARSED, TEMPO_SHARE_OTHER = 0.95, 0.5


@dataclass(frozen=True)
class Strikes:
    """Strikes on the sensor's clock, shape (n,): time, usual log swing speed, chance of being hers.

    `first` and `after` bound the swings that may have rehearsed each: index first ≤ k < after.
    """

    time_s: Floats
    log_speed: Floats
    own: Floats
    first: Ints
    after: Ints


@dataclass(frozen=True)
class Slots:
    """The swings before each strike, nearest first, shape (n, SLOTS)."""

    swing: Ints
    there: np.ndarray
    gap_s: Floats
    ratio: Floats
    tempo: Floats


@dataclass(frozen=True)
class Habit:
    """What a player's rehearsals are like."""

    pattern_counts: Floats
    between: tuple[float, float]
    before: tuple[float, float]
    ratios: tuple[float, float]
    ratio_sd: float
    background_hz: float


def slots_before(
    strikes: Strikes, time: Floats, log_speed: Floats, tempo: Floats, free: np.ndarray
) -> Slots:
    """The free swings before each strike, nearest first."""
    n = len(strikes.time_s)
    swing = np.full((n, SLOTS), -1)
    for j in range(n):
        low, high = max(int(strikes.first[j]), 0), int(strikes.after[j])
        before = np.flatnonzero(free[low:high]) + low
        before = before[time[before] > strikes.time_s[j] - REACH_S]
        before = before[~(log_speed[before] < strikes.log_speed[j] + TOO_SLOW_LOG)][::-1][:SLOTS]
        swing[j, : len(before)] = before
    there = swing >= 0
    at = np.maximum(swing, 0)
    gap = np.where(there, np.maximum(strikes.time_s[:, None] - time[at], 0.2), 1.0)
    ratio = np.where(there, log_speed[at] - strikes.log_speed[:, None], np.nan)
    return Slots(swing, there, gap, ratio, np.where(there, tempo[at], 0.5))


def first_habit(slots: Slots) -> Habit:
    """The habit assumed before anything is learned."""
    counts = np.array([count for _, count in PATTERNS])
    seen, seconds = slots.there.sum(), 30.0 * len(slots.swing)
    gaps = (float(GAP_MEAN), GAP_SD)
    return Habit(counts, gaps, gaps, RATIO_MEAN, RATIO_SD, max(0.3 * seen / seconds, 0.002))


def weigh(slots: Slots, habit: Habit, own: Floats) -> Floats:
    """Probability of each reading of each strike, (n, h)."""
    total = reading_logs(slots, habit, own)
    total = np.exp(total - total.max(1, keepdims=True))
    return np.asarray(total / total.sum(1, keepdims=True))


def reading_logs(slots: Slots, habit: Habit, own: Floats) -> Floats:
    """Log likelihood ratio of each reading against all of it being background, prior included,
    (n, h); −inf where a swing that it names is not there."""
    slot, kind = READINGS.slot, READINGS.kind
    used = slot >= 0
    term = kind_terms(slots, habit)
    chosen = term[:, np.maximum(slot, 0), np.maximum(kind, 0)]
    total = np.where(used, chosen, 0.0).sum(2) + _gap_terms(slots, habit)
    legal = (slots.there[:, np.maximum(slot, 0)] | ~used).all(2)
    share = habit.pattern_counts / habit.pattern_counts.sum()
    own = np.maximum(own, 1e-9)
    prior = np.where(
        READINGS.pattern[None, :] == 0,
        1 - own[:, None] * (1 - share[0]),
        own[:, None] * share[READINGS.pattern][None, :],
    )
    return np.asarray(np.where(legal, total + np.log(prior), -np.inf))


def kind_terms(slots: Slots, habit: Habit) -> Floats:
    """Log likelihood ratio of each slot being each kind, against background, (n, SLOTS, 3)."""
    known = np.isfinite(slots.ratio)
    ratio = np.where(known, slots.ratio, 0.0)
    background = 1.0 / (FASTEST_LOG - TOO_SLOW_LOG)
    terms = []
    for mean, sd in ((habit.ratios[0], habit.ratio_sd), (habit.ratios[1], habit.ratio_sd),
                     (0.0, PLAIN_RATIO_SD)):  # fmt: skip
        density = 0.97 * _normal(ratio, mean, sd) + 0.03 * background
        terms.append(np.where(known, np.log(density / background), 0.0))
    up, down = TEMPO_SHARE_REHEARSED, TEMPO_SHARE_OTHER
    tempo = np.log(
        (up * slots.tempo + (1 - up) * (1 - slots.tempo))
        / (down * slots.tempo + (1 - down) * (1 - slots.tempo))
    )
    return np.stack(terms, 2) + tempo[..., None]


def _gap_terms(slots: Slots, habit: Habit) -> Floats:
    """Log density of the gaps of each reading over the background rate, (n, h)."""
    slot = READINGS.slot
    total = np.zeros((len(slots.swing), len(slot)))
    count = (slot >= 0).sum(1)
    lone_long = (count == 1) & (READINGS.kind[:, 0] == LONG)
    for place in range(MOST):
        here = slot[:, place] >= 0
        follows = np.where(count > place + 1, slot[:, min(place + 1, MOST - 1)], -1)
        gap = slots.gap_s[:, np.maximum(slot[:, place], 0)]
        later = np.where(follows >= 0, slots.gap_s[:, np.maximum(follows, 0)], 0.0)
        span = np.maximum(gap - later, 0.2)
        between = _lognormal(span, *habit.between)
        before = np.where(
            lone_long, _lognormal(span, *LONE_LONG_GAP), _lognormal(span, *habit.before)
        )
        density = np.where(follows >= 0, between, before)
        total += np.where(here, np.log(density / habit.background_hz), 0.0)
    return total


def _normal(x: Floats, mean: float, sd: float) -> Floats:
    return np.asarray(np.exp(-0.5 * ((x - mean) / sd) ** 2) / (sd * np.sqrt(2 * np.pi)))


def _lognormal(gap_s: Floats, mean: float, sd: float) -> Floats:
    """Density per second, with a floor that keeps odd gaps possible."""
    return np.asarray(_normal(np.log(gap_s), mean, sd) / gap_s + 1e-5)


def learn_habit(slots: Slots, weight: Floats, counted: np.ndarray) -> Habit:
    """The habit from the readings of the strikes that are sure (`counted`)."""
    weight = weight * counted[:, None]
    counts = np.array([count for _, count in PATTERNS]) + _repeats(weight)
    ratios, squares, total = [], RATIO_COUNT * RATIO_SD**2, RATIO_COUNT
    known = np.isfinite(slots.ratio)
    ratio = np.where(known, slots.ratio, 0.0)
    for kind, prior in ((LONG, RATIO_MEAN[0]), (SHORT, RATIO_MEAN[1])):
        w = slot_chance(weight, kind) * known
        mean = (w * ratio).sum() + RATIO_COUNT * prior
        mean = mean / (w.sum() + RATIO_COUNT)
        squares += (w * np.minimum((ratio - mean) ** 2, 0.09)).sum()
        total += w.sum()
        ratios.append(float(mean))
    between, before = _learn_gaps(slots, weight)
    idle = counted[:, None] * slots.there - sum(slot_chance(weight, k) for k in range(3))
    seconds = np.where(slots.there, slots.gap_s, 0.0).max(1) * counted
    background = (idle.sum() + 1.0) / (seconds.sum() + 100.0)
    sd = float(np.clip(np.sqrt(squares / total), 0.02, 0.12))
    return Habit(
        counts, between, before, (ratios[0], ratios[1]), sd, float(np.clip(background, 0.002, 0.5))
    )


def _repeats(weight: Floats) -> Floats:
    """How often each pattern was met beyond its clearest case: once is not yet a habit, and a
    strike's own reading must not speak for itself."""
    met = np.zeros((len(PATTERNS), len(weight)))
    np.add.at(met, READINGS.pattern, weight.T)
    return np.asarray(met.sum(1) - met.max(1, initial=0.0))


def _learn_gaps(slots: Slots, weight: Floats) -> tuple[tuple[float, float], tuple[float, float]]:
    """Log gap between two rehearsals, and between the last and the strike: mean and SD."""
    slot, count = READINGS.slot, (READINGS.slot >= 0).sum(1)
    sums = []
    for is_last in (False, True):
        w, x = [], []
        for place in range(MOST):
            last = count == place + 1
            take = (count > place) & (last if is_last else ~last)
            lone_long = (count == 1) & (READINGS.kind[:, 0] == LONG)
            take &= ~lone_long
            follow = slot[take, min(place + 1, MOST - 1)]
            later = 0.0 if is_last else slots.gap_s[:, np.maximum(follow, 0)]
            gap = np.maximum(slots.gap_s[:, np.maximum(slot[take, place], 0)] - later, 0.2)
            w.append(weight[:, take].ravel())
            x.append(np.log(gap).ravel())
        sums.append(_gap_moments(np.concatenate(w), np.concatenate(x)))
    return sums[0], sums[1]


def _gap_moments(weight: Floats, log_gap: Floats) -> tuple[float, float]:
    total = weight.sum() + GAP_COUNT
    mean = ((weight * log_gap).sum() + GAP_COUNT * GAP_MEAN) / total
    spread = (weight * np.minimum((log_gap - mean) ** 2, 1.0)).sum() + GAP_COUNT * GAP_SD**2
    return float(mean), float(np.clip(np.sqrt(spread / total), 0.12, 0.8))


def slot_chance(weight: Floats, kind: int) -> Floats:
    """Chance that each slot is a rehearsal of this kind, (n, SLOTS)."""
    out = np.zeros((len(weight), SLOTS))
    for place in range(MOST):
        take = READINGS.kind[:, place] == kind
        np.add.at(out.T, READINGS.slot[take, place], weight[:, take].T)
    return out


def learn_own(
    weight: Floats, habit: Habit, own: Floats, usual: Floats, counted: np.ndarray
) -> Floats:
    """The chance that an unseen strike was hers, learned from how many have rehearsals before them.

    A sensor that misses strikes still sees their rehearsals; the shots of another player have none.
    """
    unseen = ~counted & (own > 0)
    if not unseen.any():
        return own
    rests = habit.pattern_counts[0] / habit.pattern_counts.sum()
    without = weight[unseen][:, READINGS.pattern == 0].sum(1)
    hers = 1 - without * (1 - own[unseen]) / (1 - own[unseen] * (1 - rests))
    rate = (hers.sum() + OWN_COUNT * usual[unseen].mean()) / (unseen.sum() + OWN_COUNT)
    return np.where(unseen, np.clip(rate, 0.02, 0.95), own)


def read_rehearsals(slots: Slots, own: Floats, counted: np.ndarray) -> tuple[Floats, Habit, Floats]:
    """Chance of each slot being long, short or plain, (n, SLOTS, 3), the learned habit, and the
    learned chance of each strike being hers."""
    habit, usual = first_habit(slots), own
    for _ in range(LEARNING_ROUNDS):
        weight = weigh(slots, habit, own)
        own = learn_own(weight, habit, own, usual, counted)
        habit = learn_habit(slots, weight, counted)
    weight = weigh(slots, habit, own)
    return np.stack([slot_chance(weight, kind) for kind in range(3)], 2), habit, own
