"""A player's tempo: ratio and times by day, drift, rehearsal against strike, link to the miss."""

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from analytics.answer import CENTRE, Answer
from analytics.clustered import mean_over_shots
from analytics.discovery import Finding
from analytics.estimate_answers import level_answer
from analytics.feedback import Feedback
from analytics.tempo import (
    Tempo,
    decimals_to_show,
    ratio_estimate,
    ratio_rounding_sd,
    sampling_step_s,
)

KEYS = ("tempo_drift", "tempo_change", "tempo_rehearsal")
LINKS = ("tempo_far", "tempo_wide")
RATIO_WITHIN = 0.1
DRIFT_BALLS = 45
SET_STEP = 5


@dataclass(frozen=True)
class TempoDay:
    """Strikes of one day: ratio, and times in seconds."""

    session_id: str
    day: date | None
    ratio: Answer
    backswing_s: Answer
    downswing_s: Answer
    rehearsal_ratio: Answer


@dataclass(frozen=True)
class Tempos:
    """What a player's tempo shows.

    sampling_step_s: step of the sensor's times, None where none is seen; rounding_sd: what it does
    to a single ratio; decimals: of a single ratio that may be shown.
    set_of_balls: balls after which the ratio has moved by 0.1, in fives; None without a drift.
    """

    player_id: str
    days: tuple[TempoDay, ...]
    ratio: Answer
    rehearsal_ratio: Answer
    sampling_step_s: float | None
    rounding_sd: float
    decimals: int
    set_of_balls: int | None
    habits: tuple[Finding, ...]
    links: tuple[Finding, ...]


def tempos(found: Feedback) -> Tempos:
    """The tempo in a player's feedback."""
    tempo = found.read.practice.tempo
    step = sampling_step_s(np.concatenate([tempo.backswing_s, tempo.downswing_s]))
    rounding = _rounding(tempo, step)
    return Tempos(
        player_id=found.read.player_id,
        days=tuple(
            _day(tempo, number, session.session_id, session.day)
            for number, session in enumerate(found.read.sessions)
            if np.any(tempo.session == number)
        ),
        ratio=_ratio(tempo, rehearsal=False),
        rehearsal_ratio=_ratio(tempo, rehearsal=True),
        sampling_step_s=step,
        rounding_sd=rounding,
        decimals=decimals_to_show(rounding),
        set_of_balls=_set_of_balls(found.of("tempo_drift")),
        habits=found.some(*KEYS),
        links=found.some(*LINKS),
    )


def _ratio(tempo: Tempo, rehearsal: bool) -> Answer:
    return level_answer(ratio_estimate(tempo, rehearsal), "1", CENTRE, RATIO_WITHIN)


def _rounding(tempo: Tempo, step: float | None) -> float:
    if step is None or tempo.ball.size == 0:
        return 0.0
    back, down = float(np.mean(tempo.backswing_s)), float(np.mean(tempo.downswing_s))
    return ratio_rounding_sd(back, down, step)


def _day(tempo: Tempo, number: int, session_id: str, day: date | None) -> TempoDay:
    one = _only(tempo, tempo.session == number)
    struck = ~one.rehearsal
    return TempoDay(
        session_id=session_id,
        day=day,
        ratio=_ratio(one, rehearsal=False),
        backswing_s=_time(one, one.backswing_s, struck, 0.05),
        downswing_s=_time(one, one.downswing_s, struck, 0.02),
        rehearsal_ratio=_ratio(one, rehearsal=True),
    )


def _time(
    tempo: Tempo, seconds: NDArray[np.float64], rows: NDArray[np.bool_], within: float
) -> Answer:
    return level_answer(mean_over_shots(seconds[rows], tempo.session[rows]), "s", CENTRE, within)


def _only(tempo: Tempo, rows: NDArray[np.bool_]) -> Tempo:
    return Tempo(
        tempo.session[rows],
        tempo.ball[rows],
        tempo.backswing_s[rows],
        tempo.downswing_s[rows],
        tempo.rehearsal[rows],
    )


def _set_of_balls(drift: Finding) -> int | None:
    """Balls until the ratio has moved by what matters, rounded to fives, 5 at least."""
    change = drift.answer.value
    if drift.verdict != "effect" or not change:
        return None
    balls = (DRIFT_BALLS - 1) * drift.matters / abs(change)
    return max(SET_STEP, SET_STEP * round(balls / SET_STEP))
