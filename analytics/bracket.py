"""Does the bracket of two rehearsals hold the landing window, and is the shot between them?

Rules
-----
1. A rehearsal has no ball: its carry is predicted from its speed, as ln carry with two kinds of
   doubt, one of its own (`own_sd_ln`) and one it shares with the other rehearsal, because both go
   through the same calibration (`shared_sd_ln`).
2. Players swing differently without a ball. The difference (rehearsal minus ball, in ln carry) is
   taken off, and its doubt is added to the shared one.
3. Answers are probabilities: with a sensor of 3 % a yes or no would often be wrong.
4. Where part of the doubt is the sensor's own scatter (`reading_sd_ln`), a reading far from the
   player's usual one of that day and side is likely a misreading in part, and is drawn back.
5. The struck balls of the day say how far that day's predictions are off in common; rehearsals of
   the day are moved by as much as that is sure, and the shared doubt shrinks with it.
6. Width is judged against the player's own repeatability: a bracket holds a point 95 times in 100
   when it is 3.9 times as wide as one rehearsal scatters, and narrower is not better.
"""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, ndtri

from analytics.bivariate import both_below
from analytics.clustered import Estimate, Ints, mean_over_sessions, session_means

Floats = NDArray[np.float64]

BIAS_PRIOR_SD_LN = 0.10
"""How far rehearsal and ball may differ before any is seen, in ln carry (about 5 % of speed):
common practice, no source."""

BIAS_DAY_SD_LN = 0.03
"""How the difference moves from day to day while only one day was seen: assumed, no source."""

LEAST_ON_ONE_DAY = 8

LEAST_FREEDOM = 8
"""Degrees of freedom from which a player's own scatter is used."""


@dataclass(frozen=True)
class Triples:
    """Brackets as columns, shape (n,): ln of carry in metres, metres, NaN where missing.

    `strike_ln` is the carry predicted for the struck swing from the same sensor; `carry_m` is the
    carry that the launch device measured. `reading_sd_ln` is the part of `own_sd_ln` that comes
    from the sensor's reading (0 where it is not known), the rest being how balls differ at the
    same speed.
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
    reading_sd_ln: Floats

    @property
    def window_m(self) -> Floats:
        """The window's centre, metres of carry."""
        return 0.5 * (self.near_m + self.far_m)

    @property
    def middle_m(self) -> Floats:
        """Carry halfway between the two rehearsals, metres."""
        return 0.5 * (np.exp(self.long_ln) + np.exp(self.short_ln))


def only(triples: Triples, rows: NDArray[np.bool_]) -> Triples:
    """The triples of these rows, shape (n,) of true and false."""
    return Triples(**{field.name: getattr(triples, field.name)[rows] for field in fields(triples)})


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
    long_m: Floats
    short_m: Floats
    width_m: Floats
    width_ln: Floats
    centre_offset_m: Floats
    shot_place: Floats


def rehearsal_bias(triples: Triples, level: float = 0.95) -> Estimate:
    """How much farther the player's rehearsals read than the swing that strikes, in ln carry.

    Session by session, the mean carry halfway between the two rehearsals is set against the mean
    carry of the struck swings, read by the same sensor through the same curve. This supposes that
    the shot is meant halfway between; what a player means otherwise cannot be told from a bias by
    swings alone. Means are taken in metres: a mean of logs would lean to the short side.
    """
    middle, strike = triples.middle_m, np.exp(triples.strike_ln)
    both = np.isfinite(middle) & np.isfinite(strike)
    rehearsed = session_means(middle[both], triples.session[both])
    struck = session_means(strike[both], triples.session[both])
    difference = np.log(rehearsed.mean) - np.log(struck.mean)
    estimate = mean_over_sessions(difference, np.arange(difference.size), level)
    return estimate.of_shots(int(both.sum()))


def bias_to_correct(seen: Estimate, prior_sd_ln: float = BIAS_PRIOR_SD_LN) -> RehearsalBias:
    """The correction: what was seen, drawn toward none while it is doubtful."""
    if not seen.known:
        return RehearsalBias(0.0, prior_sd_ln)
    variance = max(seen.se**2, 1e-12) * (1 + 2 / seen.df)
    weight = prior_sd_ln**2 / (prior_sd_ln**2 + variance)
    return RehearsalBias(seen.value * weight, float(np.sqrt(weight * variance)))


def correction(triples: Triples) -> RehearsalBias:
    """The correction from these triples; on a first day from that day alone, its doubt said.

    One day says how that day went: how days differ is then assumed (`BIAS_DAY_SD_LN`).
    """
    seen = rehearsal_bias(triples)
    if seen.known or seen.n_shots < LEAST_ON_ONE_DAY:
        return bias_to_correct(seen)
    each = np.log(triples.middle_m) - triples.strike_ln
    each = each[np.isfinite(each)]
    variance = float(np.var(each, ddof=1)) / each.size + BIAS_DAY_SD_LN**2
    weight = BIAS_PRIOR_SD_LN**2 / (BIAS_PRIOR_SD_LN**2 + variance)
    return RehearsalBias(seen.value * weight, float(np.sqrt(weight * variance)))


def bracket_odds(triples: Triples, bias: RehearsalBias = NO_BIAS_KNOWN) -> BracketOdds:
    """The four probabilities of every triple, its width, centre, and the shot's place in it."""
    t = triples
    shift, day_sd = _day_level(t)
    shared = np.sqrt(day_sd**2 + bias.sd_ln**2)
    read_long, read_short = (side + shift - bias.mean_ln for side in (t.long_ln, t.short_ln))
    (long_ln, long_own), (short_ln, short_own) = (
        _likely(side, t) for side in (read_long, read_short)
    )
    long_sd, short_sd = np.hypot(long_own, shared), np.hypot(short_own, shared)
    over = (long_ln - np.log(t.far_m)) / long_sd
    under = (np.log(t.near_m) - short_ln) / short_sd
    held = both_below(over, under, -(shared**2) / (long_sd * short_sd))
    missing = np.isnan(over) | np.isnan(under)
    with np.errstate(divide="ignore"):
        shot_ln = np.log(t.carry_m)
    with np.errstate(divide="ignore", invalid="ignore"):
        place = (shot_ln - read_short) / (read_long - read_short)
    return BracketOdds(
        long_past=ndtr(over),
        short_of=ndtr(under),
        shot_between=_between((short_ln, short_own), (shot_ln, shared), (long_ln, long_own)),
        window_held=np.where(missing, np.nan, held),
        long_m=np.exp(read_long),
        short_m=np.exp(read_short),
        width_m=np.exp(read_long) - np.exp(read_short),
        width_ln=read_long - read_short,
        centre_offset_m=0.5 * (np.exp(read_long) + np.exp(read_short)) - t.window_m,
        shot_place=place,
    )


def _day_level(triples: Triples) -> tuple[Floats, Floats]:
    """How far the day's predictions are off in common, and the shared doubt that is left.

    The struck balls' carry less their prediction, day by day, weighed against the shared doubt.
    """
    with np.errstate(divide="ignore"):
        off = np.log(triples.carry_m) - triples.strike_ln
    means = session_means(np.where(np.isfinite(off), off, np.nan), triples.session)
    freedom = int(means.count.sum()) - means.count.size
    if freedom < LEAST_FREEDOM:
        return np.zeros_like(triples.long_ln), triples.shared_sd_ln
    place = np.searchsorted(means.session, triples.session).clip(max=means.mean.size - 1)
    known = means.session[place] == triples.session
    prior = triples.shared_sd_ln**2
    doubt = means.within_ss / freedom / means.count[place]
    weight = np.where(known, prior / np.maximum(prior + doubt, 1e-12), 0.0)
    return weight * means.mean[place], np.sqrt(prior * (1 - weight))


def _likely(side: Floats, triples: Triples) -> tuple[Floats, Floats]:
    """Each rehearsal as it likely was, and its doubt: readings drawn to the day's mean.

    Source: empirical Bayes for a normal reading of a normal swing (Efron & Morris 1975, JASA 70).
    """
    reading = triples.reading_sd_ln
    relative = side - np.log(triples.window_m)
    means = session_means(relative, triples.session)
    freedom = int(means.count.sum()) - means.count.size
    if freedom < LEAST_FREEDOM or not np.any(reading > 0):
        return side, triples.own_sd_ln
    scatter = means.within_ss / freedom
    kept = np.clip(1 - reading**2 / scatter, 0.0, 1.0)
    place = np.searchsorted(means.session, triples.session).clip(max=means.mean.size - 1)
    usual = means.mean[place] + np.log(triples.window_m)
    likely = usual + kept * (side - usual)
    reading_left = reading**2 * (kept + (1 - kept) / means.count[place])
    balls = np.clip(triples.own_sd_ln**2 - reading**2, 0.0, None)
    return likely, np.sqrt(np.clip(balls + reading_left, 1e-12, None))


Side = tuple[Floats, Floats]


def _between(short: Side, shot: Side, long: Side) -> Floats:
    """P(short < shot < long) of three independent normals, each given as (mean, sd)."""
    below, above = np.hypot(short[1], shot[1]), np.hypot(long[1], shot[1])
    rho = -(shot[1] ** 2) / (below * above)
    odds = both_below((shot[0] - short[0]) / below, (long[0] - shot[0]) / above, rho)
    missing = np.isnan(short[0] + shot[0] + long[0])
    return np.asarray(np.where(missing, np.nan, odds), dtype=np.float64)


def order_probability(half_width_ln: ArrayLike, reading_sd_ln: ArrayLike) -> Floats:
    """Chance that three readings come out as short < shot < long when the swings truly do.

    Args:
        half_width_ln: true distance of each rehearsal from the shot, in ln of speed (or carry).
        reading_sd_ln: sd of one reading on the same scale, alike for all three.
    """
    k, sd = np.broadcast_arrays(np.asarray(half_width_ln, float), np.asarray(reading_sd_ln, float))
    nought = np.zeros_like(k)
    return _between((nought - k, sd), (nought, sd), (k, sd))


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
