"""What a swing log says by itself about which swings struck a ball.

Three soft signs per swing, each between 0 and 1: a tempo like the session's usual one, a long
gap after it (the player walks after the ball), and a bracketing pattern before it (a faster, then
a slower swing). Each candidate alignment learns how much a sign is worth from the swings it
matches (`sign_weights`), starting from the prior below, so a player without the habit is not
read as one who has it.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import expit

from analytics.pairing_logs import Floats, Side

# Prior share of swings showing the sign: among struck swings, among all others.
PRIOR_SHARES = np.array([[0.95, 0.75], [0.80, 0.30], [0.60, 0.15]])
TEMPO, LONG_GAP = 0, 1
PRIOR_COUNT = 15.0
NEIGHBOURS = 4


@dataclass(frozen=True)
class Evidence:
    """Offset-free evidence: signs (3, m), local swing rate per second (m,), speed density (m,)."""

    signs: Floats
    rate_hz: Floats
    log_speed_density: Floats


def swing_evidence(swings: Side) -> Evidence:
    """The signs, the local rate and the density of speeds of a swing log."""
    signs = np.vstack([tempo_sign(swings), long_gap_sign(swings), bracket_sign(swings)])
    return Evidence(signs, local_rate(swings.time), speed_density(swings.log_speed))


def tempo_sign(swings: Side) -> Floats:
    """1 for backswing and downswing times near the session's usual ones, 0 far away."""
    usual = _full_swings(swings)
    far = np.zeros(len(swings))
    known = np.zeros(len(swings), bool)
    for values in (swings.log_backswing, swings.log_downswing):
        finite = np.isfinite(values)
        if (finite & usual).sum() < 4:
            continue
        centre = np.median(values[finite & usual])
        spread = 1.4826 * np.median(np.abs(values[finite & usual] - centre)) + 0.03
        far = far + np.where(finite, ((values - centre) / spread) ** 2, 0.0)
        known |= finite
    return np.where(known, expit(0.5 * (9.0 - far)), 0.5)


def _full_swings(swings: Side) -> np.ndarray:
    """Swings in the faster part of the log: waggles are slow."""
    finite = np.isfinite(swings.log_speed)
    if finite.sum() < 6:
        return np.ones(len(swings), bool)
    return np.where(finite, swings.log_speed >= np.median(swings.log_speed[finite]) - 0.35, True)


def long_gap_sign(swings: Side) -> Floats:
    """1 for a swing followed by the longer kind of gap, 0 for the shorter kind.

    Two groups of log gaps by 2-means; 0.5 throughout when the groups are not apart.
    """
    m = len(swings)
    if m < 6:
        return np.full(m, 0.5)
    gaps = np.log(np.maximum(np.diff(swings.time), 0.3))
    low, high = np.quantile(gaps, [0.2, 0.8])
    for _ in range(20):
        upper = gaps > (low + high) / 2
        if upper.all() or not upper.any():
            return np.full(m, 0.5)
        low, high = gaps[~upper].mean(), gaps[upper].mean()
    within = np.sqrt(np.mean(np.where(upper, gaps - high, gaps - low) ** 2)) + 0.05
    apart = np.clip((high - low) / within - 2.0, 0.0, 1.0)
    sign = 1.0 / (1.0 + np.exp(-6.0 * (gaps - (low + high) / 2) / (high - low)))
    return np.append(0.5 + apart * (sign - 0.5), 0.5 + 0.5 * apart)


def bracket_sign(swings: Side) -> Floats:
    """1 for a swing right after a faster and then a slower one, 0 where the order speaks against.

    Compares the swing two before and the one before; 0.5 where a speed is unknown.
    """
    v, t = swings.log_speed, swings.time
    sign = np.full(len(swings), 0.5)
    if len(swings) < 3:
        return sign
    first, second = v[:-2] - v[2:], v[1:-1] - v[2:]
    near = (np.abs(first - 0.1) < 0.13) & (np.abs(second + 0.1) < 0.13) & (first > second)
    quick = (t[2:] - t[:-2]) < 45.0
    known = np.isfinite(first) & np.isfinite(second)
    sign[2:] = np.where(known, np.where(near & quick, 1.0, 0.0), 0.5)
    return sign


def local_rate(time: Floats) -> Floats:
    """Swings per second around each swing, from the span of its nearest neighbours."""
    m = len(time)
    index = np.arange(m)
    low, high = np.maximum(index - NEIGHBOURS, 0), np.minimum(index + NEIGHBOURS, m - 1)
    return np.asarray((high - low + 1.0) / (time[high] - time[low] + 6.0))


def speed_density(log_speed: Floats) -> Floats:
    """Log density of each swing's log speed among all swings; nan where unknown."""
    finite = np.isfinite(log_speed)
    values = log_speed[finite]
    out = np.full(len(log_speed), np.nan)
    if len(values) < 4:
        return out
    spread = min(
        values.std(), (np.quantile(values, 0.75) - np.quantile(values, 0.25)) / 1.34 + 0.02
    )
    width = max(0.04, 1.06 * spread * len(values) ** -0.2)
    grid = np.linspace(values.min() - 0.01, values.max() + 0.01, 256)
    step = grid[1] - grid[0]
    counts = np.histogram(values, 256, (grid[0] - step / 2, grid[-1] + step / 2))[0]
    kernel = np.exp(-0.5 * ((grid[:, None] - grid[None, :]) / width) ** 2)
    density = kernel @ counts / (len(values) * width * np.sqrt(2 * np.pi))
    out[finite] = np.log(0.97 * np.interp(values, grid, density) + 0.03 * 0.3)
    return out


def sign_weights(signs: Floats, matched: Floats) -> Floats:
    """Log likelihood ratio of each swing's signs under a candidate, shape (c, m).

    `matched` (c, m) is the chance that the candidate matches the swing; how often each sign shows
    among matched and other swings is the posterior mean under the prior shares.
    """
    total = np.zeros(matched.shape)
    hits, rest = matched.sum(1), (1 - matched).sum(1)
    for sign, (struck, other) in zip(signs, PRIOR_SHARES, strict=True):
        p1 = (PRIOR_COUNT * struck + matched @ sign) / (PRIOR_COUNT + hits)
        p0 = (PRIOR_COUNT * other + (1 - matched) @ sign) / (PRIOR_COUNT + rest)
        share = (hits / (hits + rest + 1e-9))[:, None]
        p0 = share[:, 0] * p1 + (1 - share[:, 0]) * p0
        up = p1[:, None] * sign + (1 - p1[:, None]) * (1 - sign)
        down = p0[:, None] * sign + (1 - p0[:, None]) * (1 - sign)
        total += np.log(up / down)
    return total
