"""How a club runs on a level reference green, with its spread, for planning on another green.

Rules
-----
1. Every run is carried over to a level green of stimp 10 by its own day's speed, slope and fall
   line, so that days on different greens can be counted together.
2. Before a player's own balls there is the trade's chart of run over carry (lob under 1, sand 1,
   gap 1.5, pitching 2, nine-iron 3 …: common practice, no source), with a wide doubt of ±35 %; own
   balls take over as they come.
3. Wet greens stop the ball: their balls are left out, or used alone when the green to play is wet.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from analytics.carry_to_roll import Run
from analytics.roll import Green, run_on_other_green

REFERENCE = Green(10.0)
CHART = {"LW": 0.5, "SW": 1.0, "GW": 1.5, "PW": 2.0, "9I": 3.0, "8I": 4.0, "7I": 5.0, "6I": 6.0}
CHART_ELSE = 2.0
CHART_LOG_SD = 0.35
SHOT_LOG_SD, SHOT_FREEDOM = 0.30, 6.0
DAY_LOG_SD = 0.10
LEAST_RATIO = 0.05


@dataclass(frozen=True)
class RunRatio:
    """Run over carry on the reference green: middle, spread of one ball and doubt, as logs' SDs.

    `n_shots` own balls stand behind it; with none it is the trade's chart.
    """

    ratio: float
    shot_sd: float
    common_sd: float
    n_shots: int
    n_sessions: int


def run_ratio(
    club: str, runs: Sequence[Run], greens: Mapping[str, Green], wet: bool = False
) -> RunRatio:
    """The ratio of one club.

    Args: runs: the player's balls, any club; greens: the green of each session, by session_id;
    balls of sessions without one are left out. Raises: OutOfRange as `run_on_other_green`.
    """
    mine = [run for run in runs if run.club == club and run.wet == wet and run.session_id in greens]
    logs = np.array([_log_ratio(run, greens[run.session_id]) for run in mine])
    days = np.array([run.session_id for run in mine])
    prior, prior_variance = math.log(CHART.get(club, CHART_ELSE)), CHART_LOG_SD**2
    within, freedom = _within(logs, days)
    shot = math.sqrt((SHOT_FREEDOM * SHOT_LOG_SD**2 + freedom * within) / (SHOT_FREEDOM + freedom))
    if not mine:
        return RunRatio(math.exp(prior), shot, math.hypot(CHART_LOG_SD, DAY_LOG_SD), 0, 0)
    n_days = len(set(days))
    seen_variance = shot**2 / logs.size + DAY_LOG_SD**2 / n_days
    weight = prior_variance / (prior_variance + seen_variance)
    middle = prior + weight * (float(logs.mean()) - prior)
    doubt = math.sqrt(prior_variance * seen_variance / (prior_variance + seen_variance))
    common = math.hypot(doubt, DAY_LOG_SD)
    return RunRatio(math.exp(middle), shot, common, int(logs.size), n_days)


def _log_ratio(run: Run, green: Green) -> float:
    level = float(run_on_other_green(np.array(run.run_m), green, REFERENCE))
    return math.log(max(level / run.carry_m, LEAST_RATIO))


def _within(logs: np.ndarray, days: np.ndarray) -> tuple[float, float]:
    """Pooled variance within days and its degrees of freedom."""
    squares, freedom = 0.0, 0.0
    for day in set(days.tolist()):
        of_day = logs[days == day]
        squares += float(((of_day - of_day.mean()) ** 2).sum())
        freedom += of_day.size - 1
    return (squares / freedom if freedom else 0.0), freedom
