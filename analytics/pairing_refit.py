"""What a candidate's matches say about it: clock line, timing noise, hit rate, speed scale, signs.

The maximisation step of the rounds that settle a candidate. Everything is drawn toward a prior
worth a few shots, so that a handful of chance matches cannot fit themselves.
"""

from dataclasses import replace

import numpy as np

from analytics.pairing_evidence import sign_weights
from analytics.pairing_logs import Floats, Ints
from analytics.pairing_track import (
    MOVE,
    SPEED_POWER,
    Fit,
    Problem,
    Tracks,
    follow,
    missed_chance,
    noise_floor,
    predicted,
    prior_speed_at,
    take_fit,
)

NOISE_PRIOR_S, NOISE_COUNT = 0.12, 3.0
SPEED_POWER_SD = 0.4
SPEED_NOISE, SPEED_COUNT = 0.12, 4.0
ROUNDS = ((1.5, 0.1), (1.0, 0.08), (0.7, 0.05), (0.5, 0.035), (0.4, 0.025))
"""Half width and step of the band in each round, seconds."""
FIRST_MOVE = 0.1


def refit(problem: Problem, tracks: Tracks, fit: Fit) -> Tracks:
    """Parameters from match probabilities (the maximisation step)."""
    offset, drift, stretch = _refit_line(problem, tracks, fit)
    about = (fit.residual - fit.deviation[..., None]) ** 2
    matched = fit.match.sum((1, 2))
    noise2 = (fit.match * about).sum((1, 2)) + NOISE_COUNT * max(
        NOISE_PRIOR_S, noise_floor(problem)
    ) ** 2
    noise = np.sqrt(noise2 / (matched + NOISE_COUNT))
    asked = (tracks.share * (missed_chance(problem, tracks) < 1)).sum(1)
    speed_at, speed_power, speed_noise = _refit_speed(problem, fit)
    return replace(
        tracks,
        offset_s=offset,
        drift=drift,
        stretch=stretch,
        noise_s=np.clip(noise, noise_floor(problem), max(0.5, 1.4 * noise_floor(problem))),
        hit=np.clip((matched + 3.0) / (asked + 4.5), 0.05, 0.995),
        speed_at=speed_at,
        speed_power=speed_power,
        speed_noise=speed_noise,
        signs=sign_weights(problem.evidence.signs, swing_matched(problem, fit)),
    )


def swing_matched(problem: Problem, fit: Fit) -> Floats:
    """Chance of each swing being matched to any shot, (c, m)."""
    c = len(fit.match)
    m = len(problem.swings)
    place = np.arange(c)[:, None, None] * m + fit.near
    total = np.bincount(place.ravel(), fit.match.ravel(), c * m).reshape(c, m)
    return np.minimum(total, 1.0)


def _refit_line(problem: Problem, tracks: Tracks, fit: Fit) -> tuple[Floats, Floats, Floats]:
    """Weighted least squares of the residuals on 1, time and swing duration, per candidate."""
    lever = (problem.shots.time - problem.middle_s)[None, :, None] * 1e-4
    design = np.stack(
        np.broadcast_arrays(np.ones_like(fit.match), lever, problem.duration()[fit.near]), -1
    )
    weighted = design * fit.match[..., None]
    normal = np.einsum("cnki,cnkj->cij", weighted, design)
    right = np.einsum("cnki,cnk->ci", weighted, fit.residual)
    ridge = np.stack(
        [np.full_like(tracks.noise_s, 1e-6), tracks.noise_s**2, tracks.noise_s**2 / 0.25], -1
    )
    normal = normal + np.eye(3) * ridge[..., None]
    # Shrink drift and stretch toward 0 themselves, not toward the last round's values.
    right[:, 1] -= ridge[:, 1] * tracks.drift * 1e4
    right[:, 2] -= ridge[:, 2] * tracks.stretch
    change = np.linalg.solve(normal, right[..., None])[..., 0]
    drift = np.clip(tracks.drift + change[:, 1] * 1e-4, -4e-4, 4e-4)
    return tracks.offset_s + change[:, 0], drift, np.clip(tracks.stretch + change[:, 2], -1.5, 1.5)


def _refit_speed(problem: Problem, fit: Fit) -> tuple[Floats, Floats, Floats]:
    """Ridge regression of log swing speed on log shot speed over the matches, per candidate."""
    c = len(fit.match)
    shot = problem.shots.log_speed[None, :, None] + np.zeros_like(fit.match)
    swing = problem.swings.log_speed[fit.near]
    known = np.isfinite(shot) & np.isfinite(swing)
    if not known.any():
        return np.zeros(c), np.full(c, SPEED_POWER), np.full(c, 0.35)
    centre = float(np.nanmedian(problem.shots.log_speed))
    weight = np.where(known, fit.match, 0.0)
    x, y = np.where(known, shot - centre, 0.0), np.where(known, swing, 0.0)
    level = prior_speed_at(problem) + SPEED_POWER * centre
    w, wx, wy = weight.sum((1, 2)), (weight * x).sum((1, 2)), (weight * y).sum((1, 2))
    wxx, wxy = (weight * x * x).sum((1, 2)), (weight * x * y).sum((1, 2))
    loose, tight = SPEED_NOISE**2 / 0.3**2, SPEED_NOISE**2 / SPEED_POWER_SD**2
    a11, a22 = w + loose, wxx + tight
    b1, b2 = wy + loose * level, wxy + tight * SPEED_POWER
    bottom = a11 * a22 - wx**2
    at, power = (a22 * b1 - wx * b2) / bottom, (a11 * b2 - wx * b1) / bottom
    error = y - at[:, None, None] - power[:, None, None] * x
    square = (weight * np.minimum(error**2, 0.25)).sum((1, 2)) + SPEED_COUNT * SPEED_NOISE**2
    noise = np.sqrt(square / (w + SPEED_COUNT) * (1 + 2 / (w + 2)))
    return at - power * centre, power, np.clip(noise, 0.03, 0.5)


def settle(problem: Problem, tracks: Tracks, keep: int) -> tuple[Tracks, Fit]:
    """All rounds: follow, refit, drop the hopeless; returns the final pass, best first."""
    fit = follow(problem, tracks, *ROUNDS[0], FIRST_MOVE)
    for number, (half_s, step_s) in enumerate(ROUNDS[1:]):
        tracks = refit(problem, tracks, fit)
        if number == 0:
            tracks = tracks.take(_distinct(problem, tracks, fit.log_evidence)[: 2 * keep])
        fit = follow(problem, tracks, half_s, step_s, MOVE)
    order = _distinct(problem, tracks, fit.log_evidence)[:keep]
    return tracks.take(order), take_fit(fit, order)


def _distinct(problem: Problem, tracks: Tracks, log_evidence: Floats) -> Ints:
    """Candidates best first, without those that have run into a better one."""
    order = np.argsort(-log_evidence, kind="stable")
    ends = predicted(problem, tracks)[:, [0, -1]]
    kept: list[int] = []
    for index in order:
        if all(np.abs(ends[index] - ends[other]).max() > 0.3 for other in kept):
            kept.append(int(index))
    return np.array(kept, np.int64)
