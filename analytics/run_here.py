"""How far each club runs for what it carries on the green at hand, from the player's own balls.

A club's ratio on the level reference green (`run_ratio`) is carried over by the stimpmeter's
deceleration and by the part of the slope along the line of play. With no own ball the trade's chart
stands in, and the answer is `too_early`.
"""

import math
from dataclasses import dataclass

import numpy as np

from analytics.answer import CENTRE, Answer
from analytics.carry_to_roll import player_runs
from analytics.db import Connection
from analytics.errors import NothingYet
from analytics.plan_clubs import session_greens
from analytics.roll import Green, run_on_other_green
from analytics.run_ratio import REFERENCE, RunRatio, run_ratio

LEVEL_90 = 1.645
CLEAR_HALF_WIDTH = 0.15


@dataclass(frozen=True)
class RunHere:
    """Run over carry of one club on this green; `from_chart` says that no own ball is behind it."""

    club: str
    ratio: Answer
    from_chart: bool


def runs_here(
    connection: Connection, player_id: str, green: Green, wet: bool = False
) -> list[RunHere]:
    """The ratio of every club the player has hit, least run first.

    Raises: NothingYet without a ball; BadQuestion or OutOfRange for a green no ball stops on.
    """
    factor = float(run_on_other_green(np.array(1.0), REFERENCE, green))
    runs, greens = player_runs(connection, player_id), session_greens(connection, player_id)
    clubs = sorted({run.club for run in runs})
    if not clubs:
        raise NothingYet(
            "There is no ball with a carry and a run yet.",
            "import an export with total distance, or mark where balls land and finish",
        )
    found = [_here(club, run_ratio(club, runs, greens, wet), factor) for club in clubs]
    return sorted(found, key=lambda one: one.ratio.value or 0.0)


def _here(club: str, known: RunRatio, factor: float) -> RunHere:
    half = LEVEL_90 * known.common_sd
    counts = known.n_shots, known.n_sessions
    answer = Answer(
        value=known.ratio * factor,
        low=known.ratio * factor * math.exp(-half),
        high=known.ratio * factor * math.exp(half),
        unit="1",
        n_shots=known.n_shots,
        n_sessions=known.n_sessions,
        state=CENTRE.state(*counts, half <= CLEAR_HALF_WIDTH),
        need=CENTRE.need(*counts),
    )
    return RunHere(club, answer, known.n_shots == 0)
