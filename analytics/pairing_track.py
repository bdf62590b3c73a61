"""Candidate alignments followed closely: exact forward–backward over a narrow band of offsets.

Each candidate is a line (offset, drift) with a band of small deviations around it. A shot is
either missed by the sensor or was struck by a swing near its predicted time; what a swing adds is
its timing density times its speed and sign likelihood ratios, over the local rate of swings (what
a random place in the log would give). The band starts uniform over the WHOLE searched range, so
that the evidence carries the price of having looked everywhere. Timing noise, hit rate, line,
speed scale and the worth of the signs are fitted per candidate in a few rounds of expectation and
maximisation; that is what tells apart alignments one gap from each other.
"""

import math
from dataclasses import dataclass

import numpy as np

from analytics.pairing_evidence import Evidence, sign_weights
from analytics.pairing_logs import Floats, Ints, Side

NEAR = 8
MOVE = 0.03
NEVER = -1e9
SPEED_POWER = 0.9
OUTLIER = 0.05
CELLS_AT_ONCE = 1.2e7


@dataclass(frozen=True)
class Problem:
    """Both logs with the offset-free evidence and what a person has settled by hand."""

    shots: Side
    swings: Side
    evidence: Evidence
    range_s: float
    around_s: float | None
    pinned: dict[int, int]
    forbidden: frozenset[tuple[int, int]]
    not_struck: frozenset[int] = frozenset()

    @property
    def middle_s(self) -> float:
        """Launch time about which drift turns."""
        return float((self.shots.time[0] + self.shots.time[-1]) / 2)

    def duration(self) -> Floats:
        """Swing duration about its median, seconds; 0 where unknown."""
        total = np.exp(self.swings.log_backswing) + np.exp(self.swings.log_downswing)
        known = np.isfinite(total)
        if not known.any():
            return np.zeros(len(total))
        return np.where(known, np.clip(total - np.median(total[known]), -1.0, 1.0), 0.0)


@dataclass(frozen=True)
class Tracks:
    """Parameters of c candidates. `share` (c, n) masks the shots a candidate is asked about."""

    offset_s: Floats
    drift: Floats
    stretch: Floats
    noise_s: Floats
    hit: Floats
    speed_at: Floats
    speed_power: Floats
    speed_noise: Floats
    signs: Floats
    share: Floats

    def take(self, index: Ints) -> "Tracks":
        """These candidates only."""
        return Tracks(*(getattr(self, name)[index] for name in self.__dataclass_fields__))


@dataclass(frozen=True)
class Fit:
    """What one pass over the shots found, per candidate."""

    log_evidence: Floats
    near: Ints
    match: Floats
    residual: Floats
    deviation: Floats
    predictive: Floats


def start_tracks(problem: Problem, offset_s: Floats, drift: Floats) -> Tracks:
    """Candidates with prior parameters."""
    c, n = len(offset_s), len(problem.shots)
    coarse = 0.41 * np.hypot(problem.shots.grid_s, problem.swings.grid_s)
    speed_at = prior_speed_at(problem)
    return Tracks(
        offset_s, drift, np.zeros(c), np.full(c, max(0.25, coarse)), np.full(c, 0.7),
        np.full(c, speed_at), np.full(c, SPEED_POWER), np.full(c, 0.35),
        sign_weights(problem.evidence.signs, np.zeros((c, len(problem.swings)))), np.ones((c, n)),
    )  # fmt: skip


def prior_speed_at(problem: Problem) -> float:
    """Usual log sensor speed minus power × usual log shot speed; the power's prior mean."""
    swing, shot = problem.swings.log_speed, problem.shots.log_speed
    if not np.isfinite(swing).any() or not np.isfinite(shot).any():
        return 0.0
    return float(np.nanquantile(swing, 0.6) - SPEED_POWER * np.nanmedian(shot))


def noise_floor(problem: Problem) -> float:
    """Timing noise that the stamps' own steps leave at least, seconds."""
    return max(0.02, math.hypot(problem.shots.grid_s, problem.swings.grid_s) / math.sqrt(12.0))


def predicted(problem: Problem, tracks: Tracks) -> Floats:
    """Sensor time of each shot under each candidate's line, shape (c, n)."""
    lever = problem.shots.time - problem.middle_s
    return np.asarray(problem.shots.time + tracks.offset_s[:, None] + tracks.drift[:, None] * lever)


def follow(problem: Problem, tracks: Tracks, half_s: float, step_s: float, move: float) -> Fit:
    """One forward–backward pass: evidence and match probabilities under fixed parameters."""
    cells = len(problem.shots) * NEAR * (2 * half_s / step_s + 1)
    together = max(1, int(CELLS_AT_ONCE / cells))
    index = np.arange(len(tracks.hit))
    parts = [
        _follow(problem, tracks.take(index[k : k + together]), half_s, step_s, move)
        for k in range(0, len(index), together)
    ]
    if len(parts) == 1:
        return parts[0]
    names = Fit.__dataclass_fields__
    return Fit(*(np.concatenate([getattr(part, name) for part in parts]) for name in names))


def _follow(problem: Problem, tracks: Tracks, half_s: float, step_s: float, move: float) -> Fit:
    near, residual, weight = _neighbours(problem, tracks)
    band = np.arange(-half_s, half_s + step_s / 2, step_s)
    noise = np.hypot(tracks.noise_s, step_s / 2)[:, None, None, None]
    away = (residual[..., None] - band) / noise
    struck = np.exp(weight[..., None] - 0.5 * away**2 - np.log(noise * np.sqrt(2 * np.pi)))
    struck *= tracks.hit[:, None, None, None]
    missed = missed_chance(problem, tracks)
    emission = missed[..., None] + struck.sum(2)
    emission = np.where(tracks.share[..., None] > 0, emission, 1.0)
    log_evidence, posterior, predictive = _forward_backward(
        emission, np.log(step_s / max(problem.range_s, step_s)), move
    )
    match = np.einsum("cnx,cnkx->cnk", posterior / emission, struck) * tracks.share[..., None]
    deviation = posterior @ band
    return Fit(log_evidence, near, match, residual, deviation, predictive)


def _neighbours(problem: Problem, tracks: Tracks) -> tuple[Ints, Floats, Floats]:
    """The swings nearest each predicted strike: index, residual and log weight, (c, n, NEAR)."""
    swings = problem.swings
    expected = predicted(problem, tracks)
    place = np.searchsorted(swings.time, expected)
    near = place[..., None] + np.arange(-NEAR // 2, NEAR // 2)
    outside = (near < 0) | (near >= len(swings))
    near = np.clip(near, 0, len(swings) - 1)
    residual = swings.time[near] - expected[..., None]
    residual = residual - tracks.stretch[:, None, None] * problem.duration()[near]
    candidate = np.arange(len(tracks.hit))[:, None, None]
    weight = tracks.signs[candidate, near] + speed_weights(problem, tracks, near)
    weight = weight - np.log(problem.evidence.rate_hz[near])
    return near, residual, np.where(outside | _barred(problem, near), NEVER, weight)


def _barred(problem: Problem, near: Ints) -> np.ndarray:
    """Pairs that a person has ruled out: forbidden, pinned elsewhere, or said to be no strike."""
    barred = np.isin(near, list(problem.not_struck))
    for shot, swing in problem.forbidden:
        barred[:, shot] |= near[:, shot] == swing
    for shot, swing in problem.pinned.items():
        own = near[:, shot] == swing
        barred |= near == swing
        barred[:, shot] = ~own
    return barred


def missed_chance(problem: Problem, tracks: Tracks) -> Floats:
    """Chance of each shot having no swing, (c, n): 1 outside the swing log, ~0 when pinned."""
    expected = predicted(problem, tracks)
    swings = problem.swings.time
    place = np.clip(np.searchsorted(swings, expected), 1, len(swings) - 1)
    silence = np.minimum(np.abs(expected - swings[place]), np.abs(expected - swings[place - 1]))
    inside = (expected >= swings[0] - 1) & (expected <= swings[-1] + 1) & (silence < 150.0)
    missed = np.where(inside, 1 - tracks.hit[:, None], 1.0)
    for shot in problem.pinned:
        missed[:, shot] = 1e-12
    return missed


def speed_weights(problem: Problem, tracks: Tracks, near: Ints) -> Floats:
    """Log likelihood ratio of swing speed given shot speed, (c, n, k); 0 where unknown."""
    shot = problem.shots.log_speed[None, :, None]
    usual = problem.evidence.log_speed_density[near]
    noise = tracks.speed_noise[:, None, None]
    expected = tracks.speed_at[:, None, None] + tracks.speed_power[:, None, None] * shot
    z = (problem.swings.log_speed[near] - expected) / noise
    fits = np.exp(np.nan_to_num(-0.5 * z**2 - usual, nan=0.0)) / (noise * np.sqrt(2 * np.pi))
    ratio = np.log((1 - OUTLIER) * fits + OUTLIER)
    return np.where(np.isfinite(z) & np.isfinite(usual), ratio, 0.0)


def _forward_backward(
    emission: Floats, log_start: float, move: float
) -> tuple[Floats, Floats, Floats]:
    """Evidence (c,), posterior (c, n, x) and each shot's likelihood given all others (c, n)."""
    c, n, x = emission.shape
    ahead, back = np.empty_like(emission), np.empty_like(emission)
    state = np.full((c, x), 1.0 / x)
    log_evidence = np.full(c, log_start + np.log(x))
    for j in range(n):
        ahead[:, j] = state
        state = state * emission[:, j]
        total = state.sum(1, keepdims=True)
        log_evidence = log_evidence + np.log(total[:, 0])
        state = _diffuse(state / total, move)
    state = np.full((c, x), 1.0)
    for j in range(n - 1, -1, -1):
        back[:, j] = state
        state = _diffuse(state * emission[:, j], move)
        state = state / state.mean(1, keepdims=True)
    others = ahead * back
    others /= others.sum(2, keepdims=True)
    posterior = others * emission
    predictive = posterior.sum(2)
    return log_evidence, posterior / predictive[..., None], predictive


def _diffuse(state: Floats, move: float) -> Floats:
    """One step of a symmetric walk on the band."""
    moved = (1 - move) * state
    moved[:, 1:] += move / 2 * state[:, :-1]
    moved[:, :-1] += move / 2 * state[:, 1:]
    moved[:, 0] += move / 2 * state[:, 0]
    moved[:, -1] += move / 2 * state[:, -1]
    return moved


def take_fit(fit: Fit, index: Ints) -> Fit:
    """The fit of these candidates only."""
    return Fit(*(getattr(fit, name)[index] for name in Fit.__dataclass_fields__))


def join(first: Tracks, second: Tracks) -> Tracks:
    """Both sets of candidates."""
    names = Tracks.__dataclass_fields__
    return Tracks(*(np.concatenate([getattr(first, n), getattr(second, n)]) for n in names))
