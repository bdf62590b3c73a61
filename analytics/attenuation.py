"""Error in the measured speed flattens a curve; this says by how much and takes it out.

Rules
-----
1. A fitted slope is the true one times var(true x) / var(measured x), x = ln speed.
2. The correction needs the device's repeat error: stated, or estimated from strikes that three
   instruments saw (launch speed, sensor speed, carry). Without it nothing is corrected, and the
   curve says so.
3. Corrected curves speak of true speeds. Their one-shot band still holds for readings: what the
   reading's error adds is in it.

Sources: Fuller, Measurement Error Models (1987) §1.1 for 1; Carroll et al., Measurement Error in
Nonlinear Models (2006) ch. 4, regression calibration; Grubbs, JASA 43 (1948) 243 for 2.
"""

from dataclasses import dataclass, replace

import numpy as np
import pyarrow as pa

from analytics.curve_cells import PRIOR_EXPONENT, Cells, FloatArray, total
from analytics.curve_fit import CurveFit
from analytics.db import Connection, ask
from analytics.sensor_scale import WRONG_PAIR

RELIABILITY_LEAST = 0.3
"""Below this share of true variance in the readings, the correction stops growing."""

STRIKES_LEAST = 40
"""Strikes seen by all three instruments before the repeat error is estimated from them."""

SURE_ENOUGH = 0.35
"""The estimate is used when its standard error is below this part of it."""


@dataclass(frozen=True)
class RepeatError:
    """SD of the launch device's error in ln club speed, its standard error and strikes used."""

    sd: float
    standard_error: float
    n_strikes: int

    @property
    def usable(self) -> bool:
        """Whether the estimate is sure enough to correct a curve by."""
        enough = self.n_strikes >= STRIKES_LEAST
        return enough and self.sd > 0 and self.standard_error <= SURE_ENOUGH * self.sd


def correct(cells: Cells, error_sd: float, n_curves: int) -> tuple[Cells, FloatArray]:
    """Cells as if x had been read without error, by regression calibration within each curve.

    Args:
        cells: of y less PRIOR_EXPONENT·x, as `curve_table` makes them.
        error_sd: SD of the reading's error in ln speed.
        n_curves: number of curves.

    Returns: (cells, share of true variance in each curve's readings, shape (n_curves,)).
    """
    balls = np.maximum(total(cells.n, cells.curve, n_curves), 1)
    middle = total(cells.n * cells.mean_x, cells.curve, n_curves) / balls
    off = cells.mean_x - middle[cells.curve]
    square = total(cells.sxx + cells.n * off**2, cells.curve, n_curves)
    read = square / np.maximum(balls - 1, 1)
    kept = 1 - error_sd**2 / np.maximum(read, 1e-12)
    share = np.where(balls > 1, np.clip(kept, RELIABILITY_LEAST, 1.0), 1.0)
    k, b = share[cells.curve], PRIOR_EXPONENT
    y_with_x = cells.sxy + b * cells.sxx
    y_with_y = cells.syy + 2 * b * cells.sxy + b**2 * cells.sxx
    mean_x = middle[cells.curve] + k * off
    return (
        replace(
            cells,
            mean_x=mean_x,
            mean_y=cells.mean_y + b * (cells.mean_x - mean_x),
            sxx=k**2 * cells.sxx,
            sxy=k * y_with_x - b * k**2 * cells.sxx,
            syy=y_with_y - 2 * b * k * y_with_x + (b * k) ** 2 * cells.sxx,
        ),
        share,
    )


def for_readings(done: CurveFit, error_sd: float, kept: FloatArray) -> CurveFit:
    """The fit with the scatter that a reading's error adds beyond what the corrected cells show.

    Args:
        done: fit of corrected cells; error_sd, kept: as given to and returned by `correct`.
    """
    exponent = PRIOR_EXPONENT + done.belief.exponent
    variance = done.shot_variance + (exponent * error_sd) ** 2 * (1 - kept)
    ratio = done.day_ratio * done.shot_variance / variance
    return replace(done, shot_variance=variance, day_ratio=ratio)


def repeat_error(con: Connection) -> RepeatError | None:
    """The launch device's repeat error from paired strikes; None when there are too few."""
    if not ask(con, "any_pairs")["there"][0].as_py():
        return None
    return repeat_error_from_rows(ask(con, "paired_speeds", {"reach": WRONG_PAIR}))


def repeat_error_from_rows(rows: pa.Table) -> RepeatError | None:
    """The same from rows of `paired_speeds`, leaving one session out in turn for its error."""
    names = ("n_three", "three_xx", "three_xy", "three_xs", "three_sy")
    parts = np.array([np.nan_to_num(rows[name].to_numpy().astype(float)) for name in names])
    parts = parts[:, parts[0] >= 3]
    n_cells = parts.shape[1]
    if n_cells < 2:
        return None
    whole = parts.sum(axis=1)
    variance = _error_variance(whole[:, None], n_cells)[0]
    left_out = _error_variance(whole[:, None] - parts, n_cells - 1)
    spread = (n_cells - 1) / n_cells * np.sum((left_out - left_out.mean()) ** 2)
    sd = float(np.sqrt(max(variance, 0.0)))
    standard_error = float(np.sqrt(spread)) / (2 * sd) if sd > 0 else float("inf")
    return RepeatError(sd, standard_error, int(whole[0]))


def _error_variance(sums: FloatArray, n_cells: int) -> FloatArray:
    """Grubbs' estimate for the first of three instruments from sums about session means."""
    n, xx, xy, xs, sy = sums
    dof = np.maximum(n - n_cells, 1.0)
    true = np.where(np.abs(sy) > 0, xs * xy / np.where(sy == 0, 1.0, sy), 0.0)
    return np.asarray((xx - true) / dof, dtype=np.float64)
