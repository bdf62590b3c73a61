"""The clock map: what the sensor's clock showed when the launch device's clock showed t.

Convention: offset = sensor clock − launch clock, stated at the session's first shot; drift is how
fast that offset grows, in parts per million; a step is a sudden change of it. A sensor whose
clock runs 61 min 20 s ahead has an offset of +3680 s. This is the sign of the offset θ in RFC 5905
§8 with the launch device as the client that asks.
"""

from dataclasses import dataclass

import numpy as np

from analytics.pairing_logs import Floats, Ints


@dataclass(frozen=True)
class Step:
    """A sudden change of the offset: launch time of the first shot after it, and its size."""

    at_s: float
    size_s: float


@dataclass(frozen=True)
class ClockMap:
    """Sensor time = launch time + offset + drift · (launch time − start) + steps so far."""

    start_s: float
    offset_s: float
    drift_ppm: float
    steps: tuple[Step, ...]
    residual_s: float
    margin: float

    def offset_at(self, launch_s: Floats) -> Floats:
        """Sensor clock minus launch clock at these launch times, seconds."""
        offset = self.offset_s + self.drift_ppm * 1e-6 * (np.asarray(launch_s) - self.start_s)
        for step in self.steps:
            offset = offset + np.where(np.asarray(launch_s) >= step.at_s - 1e-9, step.size_s, 0.0)
        return np.asarray(offset)

    def sensor_time(self, launch_s: Floats) -> Floats:
        """What the sensor's clock showed at these launch times, seconds."""
        return np.asarray(launch_s + self.offset_at(launch_s))


def fit_clock(
    launch_s: Floats, sensor_s: Floats, segment: Ints, start_s: float, margin: float
) -> ClockMap:
    """Least-squares clock map through paired event times.

    Args:
        launch_s, sensor_s: seconds on each clock, shape (n,), n ≥ 1, in launch order.
        segment: stretch between steps that each pair lies in, shape (n,), not decreasing.
        start_s: launch time at which the offset is stated.
        margin: carried into the map; nats of evidence over the runner-up.
    """
    levels, index = np.unique(segment, return_inverse=True)
    centre = launch_s.mean()
    lever = launch_s - centre
    design = (index[:, None] == np.arange(len(levels))[None, :]).astype(float)
    if len(launch_s) > len(levels) and np.ptp(lever) > 0:
        design = np.column_stack([design, lever])
    difference = sensor_s - launch_s
    reference = difference[0]
    solution = np.linalg.lstsq(design, difference - reference, rcond=None)[0]
    residual = difference - reference - design @ solution
    drift = float(solution[len(levels)]) if design.shape[1] > len(levels) else 0.0
    first = np.searchsorted(index, np.arange(len(levels)))
    steps = tuple(
        Step(float(launch_s[first[k]]), float(solution[k] - solution[k - 1]))
        for k in range(1, len(levels))
    )
    offset = float(reference + solution[0] + drift * (start_s - centre))
    spread = float(np.sqrt(np.mean(residual**2)))
    return ClockMap(start_s, offset, drift * 1e6, steps, spread, margin)
