"""Whole-session explanations: one candidate throughout, or several with a clock that jumped.

A second chain, over the settled candidates, may change candidate between two shots at a price:
how rarely clocks jump, and how surprising a jump of that size is. A path with a jump is refitted
with each candidate asked about its own shots only, and kept when it still beats every candidate
alone. The best path that avoids the winner's choices is found too: it is the rival to beat.
"""

from dataclasses import dataclass, replace

import numpy as np

from analytics.pairing_logs import Floats, Ints, Side
from analytics.pairing_offsets import find_candidates
from analytics.pairing_refit import ROUNDS, refit, settle
from analytics.pairing_track import (
    MOVE,
    Fit,
    Problem,
    Tracks,
    follow,
    join,
    start_tracks,
    take_fit,
)

JUMPS_PER_SESSION = 0.05
SMALLEST_JUMP_S, LARGEST_JUMP_S = 0.3, 7200.0
LOCATED_S = 0.1
STEP_GAIN = 8.0
SHORTEST_RUN = 4
REPAIRS = 3
SAME_SHARE = 0.5


@dataclass(frozen=True)
class Alignment:
    """One explanation of the session: a candidate per segment of shots."""

    log_evidence: float
    starts: tuple[int, ...]
    tracks: Tracks
    fit: Fit

    def segment(self, n: int) -> Ints:
        """Which segment each of the n shots belongs to."""
        return np.asarray(np.searchsorted(np.array(self.starts), np.arange(n), side="right") - 1)

    def matches(self, n: int) -> tuple[Ints, Floats]:
        """Swings near each shot and their match probabilities, (n, k) each."""
        at = (self.segment(n), np.arange(n))
        return self.fit.near[at], self.fit.match[at]

    def assigned(self, n: int) -> Ints:
        """The swing each shot most likely has, −1 for none."""
        near, match = self.matches(n)
        best = match.argmax(1)
        rows = np.arange(n)
        return np.where(match[rows, best] > 0.5, near[rows, best], -1)

    def assigned_by_longest(self, n: int) -> Ints:
        """The same, for the shots of the longest segment only."""
        segment = self.segment(n)
        return np.where(segment == np.bincount(segment).argmax(), self.assigned(n), -1)


def explain(problem: Problem, tracks: Tracks, fit: Fit) -> list[Alignment]:
    """Explanations that differ in what they pair, best first.

    While a run of shots stays without swings under the best one, offsets for that run alone are
    looked for and join the candidates: the other side of a jump.
    """
    found = _alignments(problem, tracks, fit)
    n = len(problem.shots)
    tried: set[tuple[int, int]] = set()
    for attempt in range(REPAIRS):
        best = found[0]
        assigned = best.assigned(n) if attempt % 2 == 0 else best.assigned_by_longest(n)
        run = _unexplained(assigned)
        if run is None or (int(run[0]), int(run[-1])) in tried:
            continue
        tried.add((int(run[0]), int(run[-1])))
        tracks, fit = _with_candidates_for(problem, tracks, run)
        better = _alignments(problem, tracks, fit)
        if better[0].log_evidence > best.log_evidence + 1.0:
            found = better
    return found


def _unexplained(assigned: Ints) -> Ints | None:
    """The run of shots that most lacks swings: +1 for a shot without, −0.8 for one with."""
    score = np.where(assigned >= 0, -0.8, 1.0)
    total = np.concatenate([[0.0], np.cumsum(score)])
    rise = total[1:] - np.minimum.accumulate(total)[:-1]
    end = int(rise.argmax())
    if rise[end] < SHORTEST_RUN:
        return None
    return np.arange(int(total[: end + 1].argmin()), end + 1)


def _with_candidates_for(problem: Problem, tracks: Tracks, run: Ints) -> tuple[Tracks, Fit]:
    """The candidates joined by the best ones for this run of shots."""
    shots = problem.shots
    part = part_of(shots, run)
    found = find_candidates(part, problem.swings, problem.evidence, problem.around_s, 8)
    fresh = start_tracks(problem, found.offset_s, found.drift)
    share = np.zeros(len(shots))
    share[run] = 1.0
    fresh = replace(fresh, share=np.broadcast_to(share, fresh.share.shape))
    fresh, _ = settle(problem, fresh, 5)
    fresh = replace(fresh, share=np.ones_like(fresh.share))
    both = join(tracks, fresh)
    fit = follow(problem, both, *ROUNDS[-1], MOVE)
    order = np.argsort(-fit.log_evidence, kind="stable")
    return both.take(order), take_fit(fit, order)


def _alignments(problem: Problem, tracks: Tracks, fit: Fit) -> list[Alignment]:
    n = len(problem.shots)
    alone = [_alone(tracks, fit, k) for k in range(len(fit.log_evidence))]
    gains = np.log(fit.predictive)
    price = _jump_price(problem, tracks)
    path = _best_path(gains, price)
    found = alone + _jumping(problem, tracks, path, alone)
    avoided = gains.copy()
    avoided[path, np.arange(n)] = -50.0
    found += _jumping(problem, tracks, _best_path(avoided, price), alone)
    found.sort(key=lambda one: -one.log_evidence)
    return _distinct(found, n)


def _alone(tracks: Tracks, fit: Fit, k: int) -> Alignment:
    return Alignment(
        float(fit.log_evidence[k]), (0,), tracks.take(np.array([k])), take_fit(fit, np.array([k]))
    )


def _jump_density(size_s: Floats, range_s: float) -> Floats:
    """Prior density of a jump of this size per second: half anywhere, half log-uniform."""
    size = np.clip(np.abs(size_s), SMALLEST_JUMP_S, None)
    spread = 2 * np.log(LARGEST_JUMP_S / SMALLEST_JUMP_S) * size
    return np.asarray(0.5 / range_s + np.where(size <= LARGEST_JUMP_S, 0.5 / spread, 0.0))


def _jump_price(problem: Problem, tracks: Tracks) -> Floats:
    """Log price of changing from one candidate to another, (c, c); 0 on the diagonal."""
    size = tracks.offset_s[:, None] - tracks.offset_s[None, :]
    rare = np.log(JUMPS_PER_SESSION / len(problem.shots))
    price = rare + np.log(_jump_density(size, problem.range_s) * LOCATED_S)
    np.fill_diagonal(price, 0.0)
    return np.asarray(price)


def _best_path(gains: Floats, price: Floats) -> Ints:
    """Candidate per shot of the path with the highest total (Viterbi)."""
    n = gains.shape[1]
    score = gains[:, 0]
    came = np.empty(gains.shape, np.int64)
    for j in range(1, n):
        total = score[:, None] + price
        came[:, j] = total.argmax(0)
        score = total.max(0) + gains[:, j]
    path = np.empty(n, np.int64)
    path[-1] = score.argmax()
    for j in range(n - 1, 0, -1):
        path[j - 1] = came[path[j], j]
    return path


def _jumping(
    problem: Problem, tracks: Tracks, path: Ints, alone: list[Alignment]
) -> list[Alignment]:
    """The path as an alignment when it jumps and jumping pays; else nothing."""
    starts = np.concatenate([[0], np.flatnonzero(np.diff(path)) + 1])
    if len(starts) == 1:
        return []
    one = _refitted(problem, tracks.take(path[starts]), starts)
    parts = {int(k) for k in path[starts]}
    best_alone = max(alone[k].log_evidence for k in parts)
    return [one] if one.log_evidence > best_alone + STEP_GAIN else []


def _refitted(problem: Problem, tracks: Tracks, starts: Ints) -> Alignment:
    """Each segment's candidate fitted to its own shots, the borders then placed afresh."""
    n = len(problem.shots)
    rows = np.arange(len(starts))
    for half_s, step_s in ROUNDS[-2:]:
        segment = np.searchsorted(starts, np.arange(n), side="right") - 1
        tracks = replace(tracks, share=(segment[None, :] == rows[:, None]).astype(float))
        for _ in range(2):
            fit = follow(problem, tracks, half_s, step_s, MOVE)
            tracks = refit(problem, tracks, fit)
        everywhere = replace(tracks, share=np.ones_like(tracks.share))
        gains = np.log(follow(problem, everywhere, half_s, step_s, MOVE).predictive)
        starts = _borders(gains, starts)
    segment = np.searchsorted(starts, np.arange(n), side="right") - 1
    tracks = replace(tracks, share=(segment[None, :] == rows[:, None]).astype(float))
    fit = follow(problem, tracks, *ROUNDS[-1], MOVE)
    return Alignment(_path_evidence(problem, tracks, fit), tuple(map(int, starts)), tracks, fit)


def _borders(gains: Floats, starts: Ints) -> Ints:
    """Best place of each border between its two segments' outer ends."""
    moved = starts.copy()
    ends = np.append(starts[1:], gains.shape[1])
    for k in range(1, len(starts)):
        low, high = moved[k - 1] + 1, ends[k] - 1
        if high < low:
            continue
        change = np.cumsum(gains[k - 1, low - 1 : high] - gains[k, low - 1 : high])
        moved[k] = low + int(change.argmax())
    return moved


def _path_evidence(problem: Problem, tracks: Tracks, fit: Fit) -> float:
    """Evidence of all segments, each later start priced as a jump instead of a free search."""
    jumps = np.diff(tracks.offset_s)
    rare = np.log(JUMPS_PER_SESSION / len(problem.shots))
    prior = rare + np.log(_jump_density(jumps, problem.range_s) * problem.range_s)
    return float(fit.log_evidence.sum() + prior.sum())


def _distinct(found: list[Alignment], n: int) -> list[Alignment]:
    """Without those that mostly repeat the pairs of a better one."""
    kept: list[Alignment] = []
    pairs: list[Ints] = []
    for one in found:
        mine = one.assigned(n)
        has = mine >= 0
        same = [(mine == other)[has].mean() if has.any() else 1.0 for other in pairs]
        if not kept or max(same) <= SAME_SHARE:
            kept.append(one)
            pairs.append(mine)
    return kept


def part_of(shots: Side, rows: Ints) -> Side:
    """These shots alone."""
    return replace(
        shots, time=shots.time[rows], row=shots.row[rows], log_speed=shots.log_speed[rows]
    )


def jump_gain(problem: Problem, one: Alignment, number: int) -> float:
    """Nats by which the jumps beside a segment are likelier than landing anywhere in the range."""
    jumps = np.abs(np.diff(one.tracks.offset_s))[max(number - 1, 0) : number + 1]
    return float(np.log(_jump_density(jumps, problem.range_s) * problem.range_s).max())


def without(problem: Problem, one: Alignment, number: int) -> Alignment:
    """The alignment without this segment; its shots go to the one before, or the one after."""
    kept = np.delete(np.arange(len(one.starts)), number)
    starts = np.array(one.starts)[kept]
    starts[0] = 0
    return _refitted(problem, one.tracks.take(kept), starts)
