"""What carry the swings a sensor saw would have had, for many swings at once.

Rules
-----
1. By the sensor's scale and the club's carry curve where the launch device gives club speeds; the
   swing's own doubt is then the sensor's reading, and nothing else.
2. Else by a curve of carry on the sensor's own speed: its scatter holds reading and strike
   together, so no part of it is called a misreading.
3. A club without either has no predicted carry.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.carry_curve import carry_curves
from analytics.curve_cells import REFERENCE_MPS
from analytics.db import Connection
from analytics.power_curve import CarryCurve
from analytics.sensor_scale import SensorScale, scale_for, sensor_scales

Floats = NDArray[np.float64]
Words = NDArray[np.object_]


@dataclass(frozen=True)
class SwingCarries:
    """Predicted ln carry (m) per swing, shape (n,), NaN where unknown, and its doubts.

    `exponent` is d ln carry / d ln peak speed of each swing's club.
    """

    mean_ln: Floats
    own_sd_ln: Floats
    shared_sd_ln: Floats
    reading_sd_ln: Floats
    exponent: Floats


@dataclass(frozen=True)
class _Club:
    level: float
    exponent: float
    own_sd: float
    shared_sd: float
    reading_sd: float


def swing_carries(con: Connection, player_id: str, club: Words, peak_mps: Floats) -> SwingCarries:
    """Predicted carries of swings with these clubs and peak speeds (m/s, the sensor's scale)."""
    columns = [np.full(peak_mps.size, np.nan) for _ in range(5)]
    if peak_mps.size:
        by_club = {curve.club: curve for curve in carry_curves(con, player_id)}
        scales = sensor_scales(con, player_id)
        by_sensor: dict[str, CarryCurve] | None = None
        for name in _names(club):
            rows = club == name
            middle = float(np.log(np.median(peak_mps[rows]) / REFERENCE_MPS))
            if name in by_club and scales:
                line = _through_scale(by_club[name], scale_for(scales, name), middle)
            else:
                if by_sensor is None:
                    by_sensor = {c.club: c for c in carry_curves(con, player_id, "sensor")}
                if name not in by_sensor:
                    continue
                line = _through_sensor_curve(by_sensor[name], middle)
            _fill(columns, rows, line, peak_mps)
    return SwingCarries(*columns)


def _names(club: Words) -> list[str]:
    return sorted({str(name) for name in club.tolist() if name is not None})


def _fill(columns: list[Floats], rows: NDArray[np.bool_], line: _Club, peak_mps: Floats) -> None:
    values: tuple[Floats | float, ...] = (
        line.level + line.exponent * np.log(peak_mps[rows] / REFERENCE_MPS),
        line.own_sd,
        line.shared_sd,
        line.reading_sd,
        line.exponent,
    )
    for column, value in zip(columns, values, strict=True):
        column[rows] = value


def _through_scale(curve: CarryCurve, scale: SensorScale, middle: float) -> _Club:
    """As `sensor_scale.predict_carry`, its shared doubt taken at the middle speed."""
    x = (middle - scale.line.level) / scale.line.slope
    exponent = curve.exponent / scale.line.slope
    shared = (
        curve.line.variance_at(x) + curve.day_sd**2 + curve.exponent**2 * scale.shared_variance(x)
    )
    own = curve.exponent * scale.own_sd
    level = curve.log_level - exponent * scale.line.level
    return _Club(level, exponent, own, float(np.sqrt(shared)), own)


def _through_sensor_curve(curve: CarryCurve, middle: float) -> _Club:
    shared = curve.line.variance_at(middle) + curve.day_sd**2
    return _Club(curve.log_level, curve.exponent, curve.shot_sd, float(np.sqrt(shared)), 0.0)
