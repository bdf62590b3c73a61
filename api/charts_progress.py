"""Charts of the weeks: bracket, landing, tempo and tests side by side on their dates."""

from collections.abc import Sequence
from datetime import date

from analytics.answer import Answer
from analytics.brackets import brackets
from analytics.db import Connection
from analytics.errors import NothingYet
from analytics.feedback import Feedback, feedback
from analytics.leave_progress import LeaveDay, LeaveProgress, leave_progress
from analytics.leaves import leaves
from analytics.scored_test import Rules
from analytics.scores import ScoreHistory, played_tests, score_history
from analytics.tempos import tempos
from api import charts_bracket, charts_landing, charts_test
from api.charts_days import day_figure
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.svg import Figure


def figures(
    con: Connection, player: PlayerCard, view: View, known: dict[str, Rules]
) -> list[Figure]:
    """Every chart of the page."""
    played = [key for key in played_tests(con, player.player_id) if key in known]
    tests = [score_history(con, player.player_id, known[key]) for key in played]
    told = leaves_by_day(con, player.player_id)
    return charts_of(view, feedback(con, player.player_id), tests, told)


def leaves_by_day(con: Connection, player_id: str) -> LeaveProgress | None:
    """Leaves over the weeks; None while no finish is marked."""
    try:
        return leave_progress(leaves(con, player_id))
    except NothingYet:
        return None


def charts_of(
    view: View,
    found: Feedback,
    tests: Sequence[ScoreHistory],
    left: LeaveProgress | None = None,
) -> list[Figure]:
    """Process first, outcome after it."""
    told = brackets(found)
    drawn = [charts_bracket.width_by_day(view, told.days)] if told.days else []
    days = tempos(found).days
    if days:
        ratios = [(one.day, one.ratio) for one in days]
        drawn.append(day_figure(view, "tempo-days", "tempo.by_day", ratios))
    drawn += [one for one in charts_landing.charts_of(view, found) if one.name != "landing-strip"]
    if left is not None and (left.days or left.wet_days):
        drawn.append(low_side_by_day(view, left))
    return drawn + [charts_test.totals(view, one) for one in tests if one.sittings]


def low_side_by_day(view: View, told: LeaveProgress) -> Figure:
    """Share below the hole day by day with the green's speed; wet days stand without a value."""
    days: list[tuple[date | None, Answer]] = [(one.day, _below(one)) for one in told.days]
    days += [(day, Answer(None, None, None, "1", 0, 1, "too_early")) for day in told.wet_days]
    marks = _green_speeds(view, told) | dict.fromkeys(told.wet_days, view.phrase("wet"))
    days.sort(key=lambda one: one[0] or date.min)
    return day_figure(view, "progress-leave", "progress.low_side", days, "share", marks=marks)


def _green_speeds(view: View, told: LeaveProgress) -> dict[date, str]:
    """The green's speed at the first day and wherever it is another than the day before."""
    speeds = [(one.day, one.green_speed_ft) for one in told.days if one.green_speed_ft]
    before = [None, *(speed for _, speed in speeds)]
    return {
        day: view.number(speed)
        for (day, speed), last in zip(speeds, before, strict=False)
        if speed != last
    }


def _below(one: LeaveDay) -> Answer:
    share = one.told.below
    low, high = (None, None) if share.value is None else (share.low, share.high)
    return Answer(share.value, low, high, "1", share.n_shots, 1, share.state, need=share.need)
