"""One carry curve: what a speed carries, which speed a carry needs, and how sure that is.

Rules
-----
1. ln carry = log_level + exponent·ln(speed / 10 m/s). The value is the middle of clean strikes.
2. Three bands: the middle's own (`centre`), one clean ball on a fresh day (`one_shot`), and one
   ball of any kind, mishits counted in (`with_mishits`).
3. Nothing is said beyond 0.7 to 1.4 times the speeds seen: OutOfRange, with the range.
4. A curve needs 15 balls over 2 days; before that its state is too_early and `need` says so.
"""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import stats

from analytics.answer import CURVE, FIT_VERSION, SHARE, Answer, State
from analytics.curve_cells import REFERENCE_MPS
from analytics.day_share import DayFit
from analytics.errors import BadQuestion, OutOfRange
from analytics.inverse import Inverse, Line, inverse
from analytics.mishits import Tail, mixture_quantile

CurveSpeed = Literal["club", "ball", "sensor"]
"""Whose speed a curve reads."""

RANGE_LOW, RANGE_HIGH = 0.7, 1.4
"""Part of the speeds seen to which a curve may be stretched."""

NOT_CORRECTED = "not corrected: the device's repeat error is not known"

CLEAR_HALF_WIDTH = 0.06
"""A curve is clear when the middle's 90 % band at its middle speed is within ±6 % of carry."""


@dataclass(frozen=True)
class CarryAt:
    """Carry at one speed, metres: the middle, one clean ball, one ball of any kind."""

    speed_mps: float
    centre: Answer
    one_shot: Answer
    with_mishits: Answer

    @property
    def value(self) -> float:
        """Middle carry of clean strikes, metres."""
        assert self.centre.value is not None
        return self.centre.value


@dataclass(frozen=True)
class CarryCurve:
    """Carry curve of one player and club (and swing length, when not None).

    speed_kind: club, ball or sensor: whose speed it reads.
    log_level: ln carry in m at 10 m/s; covariance: of (log_level, exponent).
    day_sd, shot_sd: day-to-day and shot-to-shot SD of ln carry; dof: of shot_sd.
    speed_low_mps, speed_high_mps, speed_middle_mps: speeds seen, and their middle.
    n_shots, n_sessions: clean balls and their days; n_coach, n_rule: mishits by coach and by rule.
    tail: share and place of mishits; share_low, share_high: 90 % interval of their share.
    speed_error: what was done about the device's error in speed, in words.
    n_players: players that what is usual was learnt from; 0 where it is assumed.
    own_days: day-to-day and ball-to-ball spread from this curve's balls alone, by REML; None below
        three days. day_sd and shot_sd lean on what is known beforehand, these do not.
    """

    player_id: str
    club: str
    swing_length: str | None
    speed_kind: CurveSpeed
    loft_deg: float | None
    log_level: float
    exponent: float
    covariance: tuple[tuple[float, float], tuple[float, float]]
    day_sd: float
    shot_sd: float
    dof: float
    speed_low_mps: float
    speed_high_mps: float
    speed_middle_mps: float
    n_shots: int
    n_sessions: int
    n_coach: int
    n_rule: int
    tail: Tail
    share_low: float
    share_high: float
    own_days: DayFit | None = None
    speed_error: str = NOT_CORRECTED
    n_players: int = 0
    fit_version: str = FIT_VERSION

    @property
    def mishit_share(self) -> float:
        """Share of all balls marked as mishits, by coach or rule."""
        marked = self.n_coach + self.n_rule
        return marked / (self.n_shots + marked) if self.n_shots + marked else 0.0

    @property
    def mishits(self) -> Answer:
        """Share of mishits with its 90 % Wilson interval; a share needs 20 balls."""
        balls = self.n_shots + self.n_coach + self.n_rule
        return Answer(
            self.mishit_share,
            self.share_low,
            self.share_high,
            "1",
            balls,
            self.n_sessions,
            SHARE.state(balls, self.n_sessions, True),
            need=SHARE.need(balls, self.n_sessions),
        )

    @property
    def day_share(self) -> float:
        """Part of one ball's variance that is from day to day, 0 to 1."""
        return self.day_sd**2 / (self.day_sd**2 + self.shot_sd**2)

    @property
    def line(self) -> Line:
        """The curve as a line of ln carry in ln(speed / 10 m/s)."""
        (aa, ab), (_, bb) = self.covariance
        return Line(self.log_level, self.exponent, aa, ab, bb)

    @property
    def range_mps(self) -> tuple[float, float]:
        """Speeds the curve may be asked about."""
        return RANGE_LOW * self.speed_low_mps, RANGE_HIGH * self.speed_high_mps

    @property
    def state(self) -> State:
        """clear, leaning or too_early, by counts and by the band at the middle speed."""
        x = math.log(self.speed_middle_mps / REFERENCE_MPS)
        half = self._t(0.9) * math.sqrt(self.line.variance_at(x))
        return CURVE.state(self.n_shots, self.n_sessions, half <= CLEAR_HALF_WIDTH)

    @property
    def need(self) -> str:
        """What is missing: `8 of 15 shots`; empty when nothing is."""
        return CURVE.need(self.n_shots, self.n_sessions)

    def log_carry(self, speed_mps: float) -> tuple[float, float]:
        """Mean and SD of the middle's ln carry (m) at a speed, whatever the range."""
        x = math.log(speed_mps / REFERENCE_MPS)
        return self.log_level + self.exponent * x, math.sqrt(self.line.variance_at(x))

    def carry(self, speed_mps: float, level: float = 0.9) -> CarryAt:
        """Carry at a speed, metres, with its three bands.

        Args:
            speed_mps: as the device reads it.
            level: two-sided level of the bands, between 0 and 1.

        Raises: OutOfRange beyond 0.7 to 1.4 times the speeds seen.
        """
        self._check(speed_mps)
        _check_level(level)
        middle, middle_sd = self.log_carry(speed_mps)
        shot_sd = math.sqrt(middle_sd**2 + self.day_sd**2 + self.shot_sd**2)
        t = self._t(level)
        tails = np.array([(1 - level) / 2, 0.5, (1 + level) / 2])
        offsets = mixture_quantile(tails, np.full(3, shot_sd), np.full(3, self.dof), self.tail)
        low, centre, high = (float(v) for v in np.exp(middle + offsets))
        return CarryAt(
            speed_mps,
            self._answer(
                math.exp(middle),
                math.exp(middle - t * middle_sd),
                math.exp(middle + t * middle_sd),
                level,
            ),
            self._answer(
                math.exp(middle),
                math.exp(middle - t * shot_sd),
                math.exp(middle + t * shot_sd),
                level,
            ),
            self._answer(centre, low, high, level),
        )

    def speed_for(self, carry_m: float, level: float = 0.9) -> Answer:
        """Speed that carries this far in the middle of clean strikes, m/s, with its interval.

        Raises:
            OutOfRange: it would lie beyond 0.7 to 1.4 times the speeds seen.
            BadQuestion: a carry that is not positive.
        """
        _check_level(level)
        if not carry_m > 0:
            raise BadQuestion(f"A carry of {carry_m} m has no speed.", "give a carry above zero.")
        found = self.inverse(carry_m, level)
        speed, low, high = (
            REFERENCE_MPS * math.exp(x) for x in (found.value, found.low, found.high)
        )
        self._check(speed)
        return self._answer(speed, low, high, level, "m/s")

    def inverse(self, carry_m: float, level: float) -> Inverse:
        """ln(speed / 10 m/s) for a carry, whatever the range; Fieller's interval."""
        return inverse(self.line, math.log(carry_m), self._t(level))

    def _t(self, level: float) -> float:
        return float(stats.t.ppf(0.5 + level / 2, self.dof))

    def _check(self, speed_mps: float) -> None:
        low, high = self.range_mps
        if not low <= speed_mps <= high:
            raise OutOfRange(
                f"{speed_mps:.2f} m/s is beyond what {self.club} can be asked: "
                f"{low:.2f} to {high:.2f} m/s (0.7 to 1.4 times the speeds seen).",
                "ask within that range, or hit balls at that speed first.",
            )

    def _answer(
        self, value: float, low: float, high: float, level: float, unit: str = "m"
    ) -> Answer:
        return Answer(
            value=value,
            low=low,
            high=high,
            unit=unit,
            n_shots=self.n_shots,
            n_sessions=self.n_sessions,
            state=self.state,
            level=level,
            need=self.need,
            fit_version=self.fit_version,
        )


def _check_level(level: float) -> None:
    if not 0 < level < 1:
        raise BadQuestion(f"A band of level {level} does not exist.", "give one between 0 and 1.")
