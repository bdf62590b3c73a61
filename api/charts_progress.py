"""Charts of the weeks: bracket, landing, tempo and tests side by side on their dates."""

from collections.abc import Sequence

from analytics.brackets import brackets
from analytics.db import Connection
from analytics.feedback import Feedback, feedback
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
    return charts_of(view, feedback(con, player.player_id), tests)


def charts_of(view: View, found: Feedback, tests: Sequence[ScoreHistory]) -> list[Figure]:
    """Process first, outcome after it."""
    told = brackets(found)
    drawn = [charts_bracket.width_by_day(view, told.days)] if told.days else []
    days = tempos(found).days
    if days:
        ratios = [(one.day, one.ratio) for one in days]
        drawn.append(day_figure(view, "tempo-days", "tempo.by_day", ratios))
    drawn += [one for one in charts_landing.charts_of(view, found) if one.name != "landing-strip"]
    return drawn + [charts_test.totals(view, one) for one in tests if one.sittings]
