"""Tempo: backswing against downswing time, rehearsal against strike, and drift within a session.

Rules
-----
1. The ratio is averaged on the log scale: a mean of ratios would be pulled by short downswings.
2. Nothing is said more finely than the sensor samples. Start, top and strike are each rounded to
   a sample, which by itself scatters one ratio by about 0.04 at 100 Hz and 0.07 at 50 Hz.
3. Drift is a slope per session; the slopes are then tested. One fit through all swings would
   take the likeness of swings of one day for proof.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from analytics.clustered import (
    Estimate,
    Ints,
    mean_of_slopes,
    mean_over_sessions,
    mean_over_shots,
    session_means,
    slopes_by_session,
)

Floats = NDArray[np.float64]

KNOWN_RATES_HZ = (20, 25, 30, 40, 50, 60, 75, 100, 120, 125, 150, 200, 240, 250, 400, 500)
"""Sampling rates tried on the times, coarsest first: common practice, no source."""


@dataclass(frozen=True)
class Tempo:
    """Swings as columns, shape (n,): `ball` counts balls within the session from 1."""

    session: Ints
    ball: Floats
    backswing_s: Floats
    downswing_s: Floats
    rehearsal: NDArray[np.bool_]

    @property
    def ln_ratio(self) -> Floats:
        """Natural log of backswing ÷ downswing."""
        return np.log(self.backswing_s) - np.log(self.downswing_s)


def sampling_step_s(times: Floats) -> float | None:
    """The step on which all `times` (seconds) lie, or None when no known one fits.

    Args:
        times: backswing and downswing times together, shape (n,); at least 8 distinct needed to
            tell a grid from chance.
    """
    seen = np.unique(times[np.isfinite(times)])
    if seen.size < 8:
        return None
    for rate in KNOWN_RATES_HZ:
        if np.all(np.abs(seen * rate - np.round(seen * rate)) <= 0.0006 * rate):
            return 1.0 / rate
    return None


def ratio_rounding_sd(backswing_s: float, downswing_s: float, step_s: float) -> float:
    """Scatter of one tempo ratio that comes from sampling alone.

    Start, top and strike are each uniform within a sample, and the top is shared by both times.
    """
    one = step_s**2 / 12
    back, down = 1 / backswing_s, 1 / downswing_s
    relative = one * (back**2 + down**2 + (back + down) ** 2)
    return float(backswing_s / downswing_s * np.sqrt(relative))


def decimals_to_show(rounding_sd: float) -> int:
    """Decimals of one swing's ratio that its sampling supports, 0 to 2."""
    if rounding_sd <= 0.005:
        return 2
    return 1 if rounding_sd <= 0.15 else 0


def ratio_estimate(tempo: Tempo, rehearsal: bool, level: float = 0.95) -> Estimate:
    """The player's tempo ratio over rehearsals or strikes, with its interval over sessions."""
    rows = tempo.rehearsal == rehearsal
    logs = mean_over_shots(tempo.ln_ratio[rows], tempo.session[rows], level)
    centre = float(np.exp(logs.value))
    plain = logs.through(np.exp, centre)
    if not plain.known:
        return plain
    floor = _least_half_width(tempo, rows, centre)
    return replace(plain, low=min(plain.low, centre - floor), high=max(plain.high, centre + floor))


def _least_half_width(tempo: Tempo, rows: NDArray[np.bool_], centre: float) -> float:
    """The interval never gets finer than sampling allows.

    Rounding averages out only where swings scatter more than a sample; where they do not, every
    swing may be off by the same half step.
    """
    times = np.concatenate([tempo.backswing_s, tempo.downswing_s])
    step = sampling_step_s(times)
    if step is None or not rows.any():
        return 0.0
    back = float(np.nanmean(tempo.backswing_s[rows]))
    down = float(np.nanmean(tempo.downswing_s[rows]))
    one = ratio_rounding_sd(back, down, step)
    scatter = float(np.nanstd(tempo.ln_ratio[rows])) * centre
    return one if scatter < one else 2 * one / float(np.sqrt(rows.sum()))


def drift(tempo: Tempo, balls: float = 45.0, level: float = 0.95) -> Estimate:
    """Change of the tempo ratio from the first ball to ball number `balls`.

    Strikes and rehearsals both speak, each about its own mean of the day.
    Returns: change of the ratio (− is a fall) at the player's middle ratio, over sessions; t on the
    slopes of the log ratio.
    """
    ln_ratio = tempo.ln_ratio
    role = tempo.session * 2 + tempo.rehearsal
    _, slopes = slopes_by_session(
        _about_mean(tempo.ball, role), _about_mean(ln_ratio, role), tempo.session, least=8
    )
    logs = mean_of_slopes(slopes * (balls - 1), int((~tempo.rehearsal).sum()), level)
    if not logs.known:
        return logs
    middle = float(np.exp(np.nanmean(ln_ratio)))
    return logs.through(lambda ln: middle * ln, middle)


def _about_mean(values: Floats, groups: Ints) -> Floats:
    means = session_means(values, groups)
    place = np.searchsorted(means.session, groups).clip(max=max(means.mean.size - 1, 0))
    return values - means.mean[place] if means.mean.size else values


def rehearsal_against_strike(tempo: Tempo, level: float = 0.95) -> Estimate:
    """Rehearsal's tempo ratio ÷ the strike's, minus 1, one difference per session."""
    rehearsed = session_means(tempo.ln_ratio[tempo.rehearsal], tempo.session[tempo.rehearsal])
    struck = session_means(tempo.ln_ratio[~tempo.rehearsal], tempo.session[~tempo.rehearsal])
    both, i, j = np.intersect1d(rehearsed.session, struck.session, return_indices=True)
    n = int(struck.count[j].sum())
    e = mean_over_sessions(rehearsed.mean[i] - struck.mean[j], both, level)
    return e.through(np.expm1).of_shots(n)


def partial_correlation(x: Floats, y: Floats, given: Floats) -> float:
    """Correlation of `x` and `y` once a straight line in each column of `given` is taken off.

    Args:
        x, y: shape (n,). given: shape (n,) or (n, m).
    """
    design = np.column_stack([np.ones(x.size), given])
    rest = []
    for column in (x, y):
        solution, *_ = np.linalg.lstsq(design, column, rcond=None)
        rest.append(column - design @ solution)
    return float(np.corrcoef(rest[0], rest[1])[0, 1])


def link_to_miss(
    tempo_ln: Floats, miss: Floats, ball: Floats, sessions: Ints, level: float = 0.95
) -> Estimate:
    """How the miss goes with tempo within a session, the ball's number held fixed.

    Args:
        tempo_ln: ln ratio of the strike, shape (n,). miss: landing error in metres, shape (n,).
        ball: number within the session, so that tiring does not pass for a link.
    Returns: mean partial correlation over sessions (through atanh), tested over sessions. It says
        that two things went together on a day, never that one made the other.
    """
    kept = np.isfinite(tempo_ln) & np.isfinite(miss) & np.isfinite(ball)
    links = []
    for label in np.unique(sessions[kept]):
        rows = kept & (sessions == label)
        if rows.sum() >= 8 and np.ptp(tempo_ln[rows]) > 0 and np.ptp(miss[rows]) > 0:
            r = partial_correlation(tempo_ln[rows], miss[rows], ball[rows])
            links.append(np.arctanh(np.clip(r, -0.999, 0.999)))
    e = mean_of_slopes(np.asarray(links, dtype=np.float64), int(kept.sum()), level)
    return e.through(np.tanh)
