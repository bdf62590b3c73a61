"""What the totals of one test say over time, and what they do not.

Rules
-----
1. One total is noisy: nine stations in strokes have a spread of about 2 from one day to the next
   with nothing changed. Two tests differ for sure only beyond 1.96·√2 of that spread (about 6
   strokes): the real-change line. "Better by 2" happens by luck alone in a third of all pairs.
2. The spread starts at the test's usual one, worth six degrees of freedom, and moves to the
   player's own, taken from successive differences so that a slow trend does not count as noise.
3. A target is told as the chance to reach it next time, never as reached or missed.
4. The worst station of a list is mostly bad luck. Stations are shown shrunken toward the mean, and
   beside what was seen stands what to expect next time.
5. Sittings with a station missing or scored twice are listed, and left out of every total.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from analytics.answer import Answer, Minimum
from analytics.errors import NothingYet
from analytics.scored_test import Rules
from analytics.shrinkage import shrink

PRIOR_FREEDOM = 6.0
STATION_FREEDOM = 9.0
RECENT = 5
TARGET = Minimum(0, 3)
Verdict = Literal["better", "worse", "no change seen", "too early"]

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Sitting:
    """One complete sitting of a test."""

    attempt_id: str
    day: date
    total: float


@dataclass(frozen=True)
class Noise:
    """Spread of one total with nothing changed, and its degrees of freedom."""

    sd: float
    freedom: float

    @property
    def real_change(self) -> float:
        """Smallest difference between two single tests that is more than noise, rounded up."""
        return float(math.ceil(1.96 * math.sqrt(2) * self.sd - 1e-9))


@dataclass(frozen=True)
class Change:
    """How the last sitting stands against the one before it."""

    difference: float
    real_change: float
    verdict: Verdict


@dataclass(frozen=True)
class StationScores:
    """Sittings, mean and variance over sittings of each station of a test; arrays of shape (k,)."""

    number: tuple[int, ...]
    text: tuple[str, ...]
    n: Array
    mean: Array
    variance: Array


@dataclass(frozen=True)
class StationStanding:
    """One station: what was seen, what to expect next time (± one sd), in units of the test."""

    station: int
    text: str
    n: int
    seen: float
    expected: float
    expected_sd: float
    kept: float


@dataclass(frozen=True)
class StationList:
    """All stations, the one to work on first on top; `any_real` says whether luck is left out."""

    stations: tuple[StationStanding, ...]
    any_real: bool


def noise_of_totals(totals: Sequence[float], usual_sd: float) -> Noise:
    """Spread of single totals, in their order of time.

    Source: mean square successive difference (von Neumann 1941, Annals of Mathematical
    Statistics 12) with its equivalent degrees of freedom 2(n-1)²/(3n-4).
    """
    n = len(totals)
    if n < 2:
        return Noise(usual_sd, PRIOR_FREEDOM)
    own = float(np.mean(np.diff(totals) ** 2) / 2)
    freedom = 2 * (n - 1) ** 2 / (3 * n - 4)
    variance = (PRIOR_FREEDOM * usual_sd**2 + freedom * own) / (PRIOR_FREEDOM + freedom)
    return Noise(math.sqrt(variance), PRIOR_FREEDOM + freedom)


def last_change(totals: Sequence[float], rules: Rules) -> Change:
    """The last total against the one before it, judged by the real-change line."""
    line = noise_of_totals(totals, rules.total_sd).real_change
    if len(totals) < 2:
        return Change(0.0, line, "too early")
    difference = totals[-1] - totals[-2]
    if abs(difference) < line:
        return Change(difference, line, "no change seen")
    improved = (difference < 0) == rules.lower_is_better
    return Change(difference, line, "better" if improved else "worse")


def target_chance(totals: Sequence[float], rules: Rules) -> Answer:
    """Chance to reach the target next time, with a 90 % interval; from the last five sittings.

    The next total is taken as t-distributed around their mean with the spread of single totals.
    Raises: NothingYet without a sitting.
    """
    if not totals:
        raise NothingYet(f"{rules.title} was not played yet.", "score one sitting first")
    noise = noise_of_totals(totals, rules.total_sd)
    recent = np.asarray(totals[-RECENT:], dtype=np.float64)
    mean, doubt = float(recent.mean()), noise.sd / math.sqrt(recent.size)
    chance = _chance(mean, math.hypot(noise.sd, doubt), noise.freedom, rules)
    shift = float(stats.t.ppf(0.95, noise.freedom)) * doubt
    ends = [_chance(mean + sign * shift, noise.sd, noise.freedom, rules) for sign in (-1, 1)]
    n = len(totals)
    decided = min(ends) > 0.5 or max(ends) < 0.5
    state, need = TARGET.state(0, n, decided), TARGET.need(0, n)
    return Answer(chance, min(ends), max(ends), "1", 0, n, state, need=need)


def stations_to_work_on(seen: StationScores, rules: Rules) -> StationList:
    """Stations by what to expect of them next time, the costliest first.

    The variance within a station is pooled over stations, with the test's usual one worth nine
    degrees of freedom: one station's own is too noisy, and two equal scores are no certainty.
    Raises: NothingYet with fewer than four stations or two sittings.
    """
    spare = float((seen.n - 1).sum())
    if spare < 1:
        raise NothingYet("Each station was played once only.", "score a second sitting")
    within = np.maximum(seen.n - 1, 0) * np.nan_to_num(seen.variance)
    usual = rules.total_sd**2 / rules.draw
    pooled = (STATION_FREEDOM * usual + float(within.sum())) / (STATION_FREEDOM + spare)
    drawn = shrink(seen.mean, pooled / seen.n)
    sign = -1.0 if rules.lower_is_better else 1.0
    # What was seen breaks ties when nothing but luck is left between the stations.
    order = np.lexsort((sign * seen.mean, sign * drawn.value))
    standings = tuple(
        StationStanding(
            station=seen.number[i],
            text=seen.text[i],
            n=int(seen.n[i]),
            seen=float(seen.mean[i]),
            expected=float(drawn.value[i]),
            expected_sd=float(drawn.sd[i]),
            kept=float(drawn.kept[i]),
        )
        for i in order
    )
    p_luck = float(stats.chi2.sf(drawn.heterogeneity, len(seen.number) - 1))
    return StationList(standings, any_real=p_luck < 0.05)


def _chance(mean: float, sd: float, freedom: float, rules: Rules) -> float:
    """Chance of a whole-numbered total at or on the good side of the target."""
    if rules.lower_is_better:
        return float(stats.t.cdf((rules.target + 0.5 - mean) / sd, freedom))
    return float(stats.t.sf((rules.target - 0.5 - mean) / sd, freedom))
