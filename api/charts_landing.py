"""Charts of landing: where the balls of the last day landed, and the centre and spread by day."""

import numpy as np
from numpy.typing import NDArray

from analytics.answer import CENTRE, SPREAD, Answer
from analytics.clustered import mean_over_shots
from analytics.db import Connection
from analytics.estimate_answers import level_answer, spread_answer
from analytics.feedback import Feedback, feedback
from api.charts_days import day_figure
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.strip import landing_svg
from api.plots.svg import Figure

CENTRE_WITHIN_M = 0.15
MOST_BALLS = 300


def figures(con: Connection, player: PlayerCard, view: View) -> list[Figure]:
    """Every chart of the page."""
    return charts_of(view, feedback(con, player.player_id))


def charts_of(view: View, found: Feedback) -> list[Figure]:
    """The last day's strip, then centre and spread over the days."""
    strip = strip_of_day(view, found, len(found.read.sessions) - 1)
    if strip is None:
        return []
    days = [session.day for session in found.read.sessions]
    numbers = range(len(days))
    centres = [(day, centre_of(found, number)) for day, number in zip(days, numbers, strict=True)]
    spreads = [(day, spread_of(found, number)) for day, number in zip(days, numbers, strict=True)]
    return [
        strip,
        day_figure(view, "landing-centre", "landing.centre_by_day", centres),
        day_figure(view, "landing-spread", "landing.spread_by_day", spreads),
    ]


def strip_of_day(view: View, found: Feedback, number: int) -> Figure | None:
    """Every ball at the window on one day; None when there was none."""
    shots = found.read.practice.shots
    rows = np.flatnonzero((shots.session == number) & np.isfinite(shots.carry_m))[-MOST_BALLS:]
    if not rows.size:
        return None
    say = view.texts.say
    session = found.read.sessions[number]
    middle_m = 0.5 * (session.near_m + session.far_m)
    mean = _mean(view, centre_of(found, number), middle_m)
    carries = shots.carry_m[rows]
    aside = shots.mishit[rows]
    inside = int(((carries >= session.near_m) & (carries <= session.far_m)).sum())
    summary = say(
        "landing.strip_summary",
        inside=inside,
        balls=rows.size,
        mishits=int(aside.sum()),
        near=view.number(view.to_length(session.near_m)),
        far=view.quantity(session.far_m, "m"),
    ) + (" " + say("landing.strip_mean") if mean else "")
    svg = landing_svg(
        [view.to_length(v) for v in carries.tolist()],
        aside.tolist(),
        (view.to_length(session.near_m), view.to_length(session.far_m)),
        mean,
        (say("card.axis_carry", unit=view.length), summary),
    )
    table = tuple(
        (
            f"{ball:.0f}",
            view.quantity(carry, "m"),
            say("answer.yes") if off else "",
        )
        for ball, carry, off in zip(
            shots.ball[rows].tolist(), carries.tolist(), aside.tolist(), strict=True
        )
    )
    header = tuple(say(f"column.{name}") for name in ("ball", "carry", "mishit"))
    day = view.day(session.day) if session.day else ""
    return Figure("landing-strip", say("landing.strip", day=day), summary, svg, header, table)


def _mean(view: View, centre: Answer, middle_m: float) -> tuple[float, float, float] | None:
    """Where the balls landed on average, with its interval, in the reader's unit."""
    if centre.value is None or centre.low is None or centre.high is None:
        return None
    ends = (middle_m + v for v in (centre.value, centre.low, centre.high))
    value, low, high = (view.to_length(v) for v in ends)
    return value, low, high


def centre_of(found: Feedback, number: int) -> Answer:
    """How far past the window's middle the clean balls of one day landed on average."""
    errors = _clean(found, number)
    one = np.zeros(errors.size, dtype=np.int64)
    return level_answer(mean_over_shots(errors, one), "m", CENTRE, CENTRE_WITHIN_M)


def spread_of(found: Feedback, number: int) -> Answer:
    """Standard deviation of where the clean balls of one day landed."""
    errors = _clean(found, number)
    if errors.size < 2:
        return Answer(None, None, None, "m", errors.size, 1, "too_early", need=SPREAD.need(0, 1))
    sd = float(np.std(errors, ddof=1))
    return spread_answer(sd, errors.size - 1, (errors.size, 1), "m")


def _clean(found: Feedback, number: int) -> NDArray[np.float64]:
    shots = found.read.practice.shots
    errors: NDArray[np.float64] = shots.clean_error_m[shots.session == number]
    known: NDArray[np.float64] = errors[np.isfinite(errors)]
    return known
