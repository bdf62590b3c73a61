"""Charts of a scored test: its totals with the real-change line, and its stations."""

from analytics.db import Connection
from analytics.score_history import Sitting
from analytics.scored_test import Rules
from analytics.scores import ScoreHistory, played_tests, score_history
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.rows import Row, rows_svg
from api.plots.sessions import Session, sessions_svg
from api.plots.svg import Figure

STATIONS_SHOWN = 12


def figures(
    con: Connection, player: PlayerCard, view: View, known: dict[str, Rules]
) -> list[Figure]:
    """Charts of every test the player has played whose rules are known."""
    shown = []
    for key in played_tests(con, player.player_id):
        if key in known:
            shown += charts_of(view, score_history(con, player.player_id, known[key]))
    return shown


def charts_of(view: View, history: ScoreHistory) -> list[Figure]:
    """Totals and stations of one test."""
    drawn = [totals(view, history)] if history.sittings else []
    return drawn + ([stations(view, history)] if history.stations else [])


def totals(view: View, history: ScoreHistory) -> Figure:
    """Each sitting's total with what one total is worth: ± half the real-change line."""
    say = view.texts.say
    half = history.noise.real_change / 2
    shown = [_session(view, one, half) for one in history.sittings]
    line = view.number(history.noise.real_change, 0)
    last = view.number(history.sittings[-1].total, 0)
    summary = say("test.totals_summary", last=last, line=line, count=len(shown))
    rows = tuple((view.day(one.day), view.number(one.total, 0)) for one in history.sittings)
    header = (say("column.day"), say("column.total"))
    svg = sessions_svg(shown, say(f"test.measure_{history.rules.measure}"), summary)
    title = say("test.totals", title=view.phrase(history.rules.title))
    return Figure(f"test-totals-{_slug(history)}", title, summary, svg, header, rows)


def _slug(history: ScoreHistory) -> str:
    """The test in the name of its chart; older charts had no version in it."""
    rules = history.rules
    return rules.name if rules.version == 1 else f"{rules.name}-{rules.version}"


def _session(view: View, one: Sitting, half: float) -> Session:
    return Session(one.day, view.short_day(one.day), one.total, one.total - half, one.total + half)


def stations(view: View, history: ScoreHistory) -> Figure:
    """What to expect of each station next time, with what was seen beside it."""
    say = view.texts.say
    assert history.stations is not None
    found = history.stations.stations[:STATIONS_SHOWN]
    rows = [
        Row(
            f"{one.station} {view.phrase(one.text)}",
            one.expected,
            one.expected - one.expected_sd,
            one.expected + one.expected_sd,
            note=say("test.seen", seen=view.number(one.seen, 2), n=one.n),
        )
        for one in found
    ]
    real = "test.stations_real" if history.stations.any_real else "test.stations_luck"
    summary = say(real)
    table = tuple(
        (
            f"{one.station} {view.phrase(one.text)}",
            view.number(one.seen, 2),
            view.number(one.expected, 2),
            str(one.n),
        )
        for one in found
    )
    header = tuple(say(f"column.{name}") for name in ("station", "seen", "expected", "sittings"))
    svg = rows_svg(rows, say(f"test.measure_{history.rules.measure}"), summary)
    title = say("test.stations", title=view.phrase(history.rules.title))
    return Figure(f"test-stations-{_slug(history)}", title, summary, svg, header, table)
