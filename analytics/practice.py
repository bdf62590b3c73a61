"""A player's practice as columns: what the feedback computations take, from a store or simulated.

Sessions are whole numbers in order of time. Balls count from 1 within a session. NaN is missing.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.bracket import Triples
from analytics.clustered import Ints
from analytics.landing import Hand
from analytics.tempo import Tempo

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class WindowShots:
    """Balls played at the landing window, shape (n,): metres, degrees, ln of the tempo ratio.

    `window_given` is false where nobody set a window and one was laid around the middle ball.
    """

    session: Ints
    ball: Floats
    carry_m: Floats
    near_m: Floats
    far_m: Floats
    start_right_deg: Floats
    tempo_ln: Floats
    mishit: Bools
    window_given: Bools

    @property
    def error_m(self) -> Floats:
        """Carry less the window's centre."""
        return self.carry_m - 0.5 * (self.near_m + self.far_m)

    @property
    def clean_error_m(self) -> Floats:
        """Landing error of clean strikes; NaN for a mishit."""
        return np.where(self.mishit, np.nan, self.error_m)

    @property
    def aimed_error_m(self) -> Floats:
        """The same where somebody set the window; one laid around the player's own balls would
        make every player look centred.
        """
        return np.where(self.window_given, self.clean_error_m, np.nan)


@dataclass(frozen=True)
class Practice:
    """One player's shots at the window, tempo and brackets; `days` counts days from the first."""

    hand: Hand
    shots: WindowShots
    tempo: Tempo
    triples: Triples
    days: Floats
    speed_exponent: float = 1.95
    """d ln carry / d ln speed of the curve through which rehearsals were read."""
