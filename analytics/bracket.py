"""Does the bracket of two rehearsals hold the landing window, and is the shot between them?

Rules
-----
1. A rehearsal has no ball: its carry is predicted from its speed, as ln carry with two kinds of
   doubt, one of its own (`own_sd_ln`) and one it shares with the other rehearsal, because both go
   through the same calibration (`shared_sd_ln`).
2. Players swing differently without a ball. The difference (rehearsal minus ball, in ln carry) is
   taken off, and its doubt is added to the shared one.
3. Answers are probabilities: with a sensor of 3 % a yes or no would often be wrong.
4. Width is judged against the player's own repeatability: a bracket holds a point 95 times in 100
   when it is 3.9 times as wide as one rehearsal scatters, and narrower is not better.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, ndtri

from analytics.bivariate import both_below
from analytics.clustered import Estimate, Ints, mean_over_sessions, session_means

Floats = NDArray[np.float64]

BIAS_PRIOR_SD_LN = 0.10
"""How far rehearsal and ball may differ before any is seen, in ln carry (about 5 % of speed):
common practice, no source."""


@dataclass(frozen=True)
class Triples:
    """Brackets as columns, shape (n,): ln of carry in metres, metres, NaN where missing.

    `strike_ln` is the carry predicted for the struck swing from the same sensor; `carry_m` is the
    carry that the launch device measured.
    """

    session: Ints
    long_ln: Floats
    short_ln: Floats
    strike_ln: Floats
    carry_m: Floats
    near_m: Floats
    far_m: Floats
    own_sd_ln: Floats
    shared_sd_ln: Floats

    @property
    def window_m(self) -> Floats:
        """The window's centre, metres of carry."""
        return 0.5 * (self.near_m + self.far_m)

    @property
    def middle_m(self) -> Floats:
        """Carry halfway between the two rehearsals, metres."""
        return 0.5 * (np.exp(self.long_ln) + np.exp(self.short_ln))


@dataclass(frozen=True)
class RehearsalBias:
    """Rehearsal minus ball in ln carry, and its doubt; what the correction takes off."""

    mean_ln: float
    sd_ln: float


NO_BIAS_KNOWN = RehearsalBias(0.0, BIAS_PRIOR_SD_LN)


@dataclass(frozen=True)
class BracketOdds:
    """Per triple, shape (n,): probabilities, and where things stand after the correction.

    `shot_place` is 0 at the short rehearsal, 1 at the long one.
    """

    long_past: Floats
    short_of: Floats
    shot_between: Floats
    window_held: Floats
    width_m: Floats
    width_ln: Floats
    centre_offset_m: Floats
    shot_place: Floats


def rehearsal_bias(triples: Triples, level: float = 0.95) -> Estimate:
    """How much farther the player's rehearsals read than the swing that strikes, in ln carry.

    The carry halfway between the two rehearsals is set against the struck swing, read by the same
    sensor through the same curve, session by session. This supposes that the shot is meant halfway
    between; what a player means otherwise cannot be told from a bias by swings alone.
    """
    return mean_over_sessions(np.log(triples.middle_m) - triples.strike_ln, triples.session, level)


def bias_to_correct(seen: Estimate, prior_sd_ln: float = BIAS_PRIOR_SD_LN) -> RehearsalBias:
    """The correction: what was seen, drawn toward none while it is doubtful."""
    if not seen.known:
        return RehearsalBias(0.0, prior_sd_ln)
    variance = max(seen.se**2, 1e-12) * max(1.0, seen.df / max(seen.df - 2, 0.5))
    weight = prior_sd_ln**2 / (prior_sd_ln**2 + variance)
    return RehearsalBias(seen.value * weight, float(np.sqrt(weight * variance)))


def bracket_odds(triples: Triples, bias: RehearsalBias = NO_BIAS_KNOWN) -> BracketOdds:
    """The four probabilities of every triple, its width, centre, and the shot's place in it."""
    t = triples
    long_ln, short_ln = t.long_ln - bias.mean_ln, t.short_ln - bias.mean_ln
    shared = np.sqrt(t.shared_sd_ln**2 + bias.sd_ln**2)
    one = np.hypot(t.own_sd_ln, shared)
    over = (long_ln - np.log(t.far_m)) / one
    under = (np.log(t.near_m) - short_ln) / one
    held = both_below(over, under, -((shared / one) ** 2))
    missing = np.isnan(over) | np.isnan(under)
    with np.errstate(divide="ignore"):
        shot_ln = np.log(t.carry_m)
    width_ln = long_ln - short_ln
    with np.errstate(divide="ignore", invalid="ignore"):
        place = (shot_ln - short_ln) / width_ln
    return BracketOdds(
        long_past=ndtr(over),
        short_of=ndtr(under),
        shot_between=_between(short_ln, shot_ln, long_ln, t.own_sd_ln, shared),
        window_held=np.where(missing, np.nan, held),
        width_m=np.exp(long_ln) - np.exp(short_ln),
        width_ln=width_ln,
        centre_offset_m=t.middle_m * np.exp(-bias.mean_ln) - t.window_m,
        shot_place=place,
    )


def _between(short: Floats, shot: Floats, long: Floats, own: Floats, middle_sd: Floats) -> Floats:
    spread = np.hypot(own, middle_sd)
    rho = -((middle_sd / spread) ** 2)
    odds = both_below((shot - short) / spread, (long - shot) / spread, rho)
    return np.asarray(np.where(np.isnan(short + shot + long), np.nan, odds), dtype=np.float64)


def order_probability(half_width_ln: ArrayLike, reading_sd_ln: ArrayLike) -> Floats:
    """Chance that three readings come out as short < shot < long when the swings truly do.

    Args:
        half_width_ln: true distance of each rehearsal from the shot, in ln of speed (or carry).
        reading_sd_ln: sd of one reading on the same scale, alike for all three.
    """
    k, sd = np.broadcast_arrays(np.asarray(half_width_ln, float), np.asarray(reading_sd_ln, float))
    nought = np.zeros_like(k)
    return _between(nought - k, nought, k, sd, sd)


def repeatability_ln(triples: Triples) -> tuple[float, int]:
    """How one rehearsal scatters about the player's own of that day, in ln carry.

    Returns: standard deviation (NaN when unknown) and its degrees of freedom. Long and short
    rehearsals are each taken about their session's mean, relative to the window's centre; the
    sensor's own scatter is in it.
    """
    total, freedom = 0.0, 0
    for side in (triples.long_ln, triples.short_ln):
        means = session_means(side - np.log(triples.window_m), triples.session)
        total += means.within_ss
        freedom += int(means.count.sum()) - means.count.size
    return (float(np.sqrt(total / freedom)) if freedom > 0 else float("nan")), freedom


def width_to_hold_ln(sd_ln: float, near_m: float, far_m: float, hold: float = 0.95) -> float:
    """Width of bracket, in ln carry, that holds the window with probability `hold`.

    Both rehearsals must fall outside, each on its side: Φ(x)² = hold, so the width is the
    window's own plus 2x times the scatter (3.9 times at 95 %).
    """
    return float(np.log(far_m / near_m) + 2 * ndtri(np.sqrt(hold)) * sd_ln)


def hold_probability(width_ln: ArrayLike, sd_ln: ArrayLike, window_ln: ArrayLike = 0.0) -> Floats:
    """Chance that a well-centred bracket of this width holds a window of this width."""
    clear = (np.asarray(width_ln, float) - np.asarray(window_ln, float)) / 2
    return np.asarray(ndtr(clear / np.asarray(sd_ln, float)) ** 2, dtype=np.float64)
