"""The sensor's own speed scale, tied to the launch device's through paired strikes.

A rehearsal has no ball, so only the sensor saw it. Its reading is turned into a club speed by the
scale learnt from the player's paired strikes, and the speed into a carry by the club's curve.

Model: ln peak speed = scale + rate·ln club speed + day + swing, rate near 1; one scale per player
and club, pooled over the player's clubs like carry curves are.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from analytics.curve_cells import REFERENCE_MPS, Cells, Tree, total
from analytics.curve_fit import fit
from analytics.db import Connection, ask
from analytics.errors import BadQuestion, NothingYet
from analytics.inverse import Line
from analytics.pooling import Step
from analytics.population import ASSUMED, Population
from analytics.power_curve import CarryCurve

WRONG_PAIR = 0.35
"""A pair whose sensor-to-club ratio is this far (ln) from the usual one is no pair."""

CLUB_STEP = Step(0.05**2, 0.03**2)

SCALES: Population = replace(
    ASSUMED,
    root=Step(0.6**2, 0.06**2),
    players=Step(0.15**2, 0.05**2),
    clubs=CLUB_STEP,
    shot_sd=0.035,
)
"""Before data: a sensor reads the club's speed up to a factor of about two, in proportion, with
3.5 % of scatter from swing to swing. Assumed, no source."""


@dataclass(frozen=True)
class SensorScale:
    """ln(peak / 10 m/s) = line at ln(club speed / 10 m/s), with what is uncertain about it.

    day_sd, swing_sd: SD of ln peak speed from day to day and from swing to swing.
    n_strikes, n_sessions: paired strikes it was learnt from.
    """

    club: str
    line: Line
    day_sd: float
    swing_sd: float
    dof: float
    n_strikes: int
    n_sessions: int

    def club_speed(self, peak_speed_mps: float) -> float:
        """Club speed in m/s that most likely gave this peak speed."""
        return REFERENCE_MPS * math.exp(self._x(peak_speed_mps))

    def _x(self, peak_speed_mps: float) -> float:
        if not peak_speed_mps > 0:
            raise BadQuestion(
                f"A peak speed of {peak_speed_mps} m/s has no carry.", "give a speed above zero."
            )
        return (math.log(peak_speed_mps / REFERENCE_MPS) - self.line.level) / self.line.slope

    def shared_variance(self, x: float) -> float:
        """Variance of ln club speed that all swings of a day share, at x = ln(speed / 10 m/s)."""
        return (self.line.variance_at(x) + self.day_sd**2) / self.line.slope**2

    @property
    def own_sd(self) -> float:
        """SD of ln club speed that each swing has for itself."""
        return self.swing_sd / self.line.slope


@dataclass(frozen=True)
class PredictedCarry:
    """ln carry (m) a swing without a ball would have had in the middle of clean strikes.

    shared_sd: what all swings of that day have in common (scale, curve, day); it cancels when two
    swings of the same day are compared. own_sd: the sensor's scatter of this one swing. The
    strike's own scatter (`CarryCurve.shot_sd`) is in neither: a rehearsal has no strike.
    """

    mean: float
    shared_sd: float
    own_sd: float
    club_speed_mps: float
    in_range: bool

    @property
    def sd(self) -> float:
        """Both parts together."""
        return math.hypot(self.shared_sd, self.own_sd)


def predict_carry(scale: SensorScale, curve: CarryCurve, peak_speed_mps: float) -> PredictedCarry:
    """Carry a swing would have had, from the sensor's peak speed.

    Args:
        scale: of the same player and club.
        curve: carry against club speed.
        peak_speed_mps: as the sensor reads it.

    Raises: BadQuestion for a speed that is not positive. `in_range` says whether the club speed
    lies within what the curve may be asked.
    """
    x = scale._x(peak_speed_mps)
    speed = REFERENCE_MPS * math.exp(x)
    mean, curve_sd = curve.log_carry(speed)
    b = curve.exponent
    shared = curve_sd**2 + curve.day_sd**2 + b**2 * scale.shared_variance(x)
    low, high = curve.range_mps
    return PredictedCarry(mean, math.sqrt(shared), b * scale.own_sd, speed, low <= speed <= high)


def sensor_scales(con: Connection, player_id: str) -> dict[str, SensorScale]:
    """Scale of each club the player has paired strikes with, by club."""
    rows = ask(con, "paired_speeds", {"reach": WRONG_PAIR})
    return scales_from_rows(rows.filter(pc.equal(rows["player_id"], player_id)))


def scales_from_rows(rows: pa.Table) -> dict[str, SensorScale]:
    """The same from one player's rows of `paired_speeds`."""
    if rows.num_rows == 0:
        return {}
    clubs, curve = np.unique(rows["club"].to_numpy(zero_copy_only=False), return_inverse=True)
    column = {
        name: rows[name].to_numpy().astype(float)
        for name in ("n", "mean_x", "mean_z", "sxx", "sxz", "szz")
    }
    cells = Cells(curve.astype(np.intp), *column.values())
    nodes = np.arange(len(clubs), dtype=np.intp)
    done = fit(cells, Tree(nodes, np.zeros(len(clubs), dtype=np.intp), 1, False), SCALES)
    strikes = total(cells.n, cells.curve, len(clubs))
    return {
        str(club): SensorScale(
            club=str(club),
            line=Line(
                float(done.belief.level[i]),
                float(1 + done.belief.exponent[i]),
                float(done.belief.covariance.aa[i]),
                float(done.belief.covariance.ab[i]),
                float(done.belief.covariance.bb[i]),
            ),
            day_sd=float(np.sqrt(done.day_ratio[i] * done.shot_variance[i])),
            swing_sd=float(np.sqrt(done.shot_variance[i])),
            dof=float(done.dof[i]),
            n_strikes=int(strikes[i]),
            n_sessions=int(np.sum(cells.curve == i)),
        )
        for i, club in enumerate(clubs)
    }


def scale_for(scales: Mapping[str, SensorScale], club: str) -> SensorScale:
    """Scale for a club: its own, or that of the club with most strikes, made wider.

    Raises: NothingYet when the player has no paired strike at all.
    """
    if club in scales:
        return scales[club]
    if not scales:
        raise NothingYet(
            "No ball of this player is paired with a swing of the sensor yet.",
            "import both exports of one session, so that the sensor's scale can be learnt.",
        )
    best = max(scales.values(), key=lambda scale: (scale.n_strikes, scale.club))
    line = replace(
        best.line,
        level_variance=best.line.level_variance + float(2 * CLUB_STEP.level),
        slope_variance=best.line.slope_variance + float(2 * CLUB_STEP.exponent),
    )
    return replace(best, club=club, line=line)
