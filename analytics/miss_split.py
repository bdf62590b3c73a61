"""What a player's misses are made of: aim, start, carry and run, from the balls with a mark."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.answer import SPREAD
from analytics.landing import Landed, finish_from_leave, split_misses
from analytics.practice_rows import PlayerPractice
from analytics.row_columns import numbers

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class MissSplit:
    """Shares of the mean squared miss, summing to 1; None without a marked ball.

    usual_m: root of the mean squared miss. right_m, long_m: mean of each part, metres, + right
    and + long. `enough` says whether there are 20 marked balls.
    """

    n_shots: int
    n_sessions: int
    enough: bool
    usual_m: float | None
    shares: dict[str, float] | None
    right_m: dict[str, float] | None
    long_m: dict[str, float] | None


NOTHING = MissSplit(0, 0, False, None, None, None, None)


def miss_split(read: PlayerPractice) -> MissSplit:
    """Take the misses at the hole apart.

    The meant landing is the window's centre, the meant finish the hole. Balls without a mark of
    their finish, a start direction or a known hole are left out; mishits are in.
    """
    landed = _landed(read)
    if landed.session.size == 0:
        return NOTHING
    misses = split_misses(landed)
    parts = {
        "aim": misses.aim,
        "start": misses.start,
        "carry": misses.carry,
        "run": misses.run,
    }
    n, k = landed.session.size, int(np.unique(landed.session).size)
    return MissSplit(
        n_shots=n,
        n_sessions=k,
        enough=not SPREAD.need(n, k),
        usual_m=float(np.sqrt(np.mean(np.sum(misses.whole**2, axis=1)))),
        shares=misses.shares(),
        right_m={name: float(np.mean(part[:, 0])) for name, part in parts.items()},
        long_m={name: float(np.mean(part[:, 1])) for name, part in parts.items()},
    )


def _landed(read: PlayerPractice) -> Landed:
    balls, aimed, shots = read.balls, read.aimed, read.practice.shots
    column = {
        name: numbers(balls, name)[aimed]
        for name in ("hole_m", "leave_m", "leave_bearing_deg", "fall_line_deg", "side_m")
    }
    holed = column["leave_m"] == 0
    bearing = np.where(holed, 0.0, column["leave_bearing_deg"])
    fall = np.where(holed, 0.0, column["fall_line_deg"])
    right, long = finish_from_leave(column["hole_m"], column["leave_m"], bearing, fall)
    straight = shots.carry_m * np.sin(np.radians(shots.start_right_deg))
    side = np.where(np.isfinite(column["side_m"]), column["side_m"], straight)
    columns = (
        shots.start_right_deg, shots.carry_m, side, right, long,
        0.5 * (shots.near_m + shots.far_m), column["hole_m"],
    )  # fmt: skip
    kept = np.isfinite(np.column_stack(columns)).all(axis=1)
    return Landed(shots.session[kept], *(values[kept] for values in columns))
