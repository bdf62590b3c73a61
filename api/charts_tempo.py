"""Charts of tempo: the ratio ball by ball through a session, and by day."""

from analytics.db import Connection
from analytics.feedback import Feedback, feedback
from analytics.tempos import Tempos, tempos
from api.charts_days import day_figure
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.curve import Band, Points, curve_svg
from api.plots.svg import Figure

BLOCK = 5
"""Balls whose ratios are averaged for the table beside the cloud of single swings."""


def figures(con: Connection, player: PlayerCard, view: View) -> list[Figure]:
    """Every chart of the page."""
    found = feedback(con, player.player_id)
    return charts_of(view, found, tempos(found))


def charts_of(view: View, found: Feedback, told: Tempos) -> list[Figure]:
    """The drift through a session, then the ratio by day."""
    drawn = [drift_figure(view, found)] if found.read.practice.tempo.ball.size else []
    if told.days:
        days = [(one.day, one.ratio) for one in told.days]
        drawn.append(day_figure(view, "tempo-days", "tempo.by_day", days))
    return drawn


def drift_figure(view: View, found: Feedback) -> Figure:
    """Every swing's ratio against the ball of its session, with the mean of each five balls."""
    say = view.texts.say
    tempo = found.read.practice.tempo
    ratio = tempo.backswing_s / tempo.downswing_s
    blocks: dict[int, list[float]] = {}
    for ball, value in zip(tempo.ball.tolist(), ratio.tolist(), strict=True):
        blocks.setdefault(int((ball - 1) // BLOCK), []).append(value)
    rows = [(block, *_mean_band(values)) for block, values in sorted(blocks.items())]
    band = Band(
        [block * BLOCK + (BLOCK + 1) / 2 for block, *_ in rows],
        [row[1] for row in rows],
        [row[2] for row in rows],
        [row[3] for row in rows],
    )
    points = Points(tempo.ball.tolist(), ratio.tolist(), [False] * ratio.size)
    answer = found.of("tempo_drift").answer
    summary = say(
        "tempo.drift_summary",
        change=view.quantity(answer.value, "1"),
        interval=view.interval(answer.low, answer.high, "1"),
        days=answer.n_sessions,
        state=say(f"state.{answer.state}"),
    )
    titles = say("tempo.axis_ball"), say("tempo.axis_ratio")
    table = tuple(
        (
            f"{block * BLOCK + 1}–{(block + 1) * BLOCK}",
            view.number(mean, 2),
            view.interval(low, high, "1"),
        )
        for block, mean, low, high in rows
    )
    header = tuple(say(f"column.{name}") for name in ("balls", "ratio", "interval"))
    title = say("tempo.drift")
    svg = curve_svg(points, band if len(rows) > 1 else None, titles, summary)
    return Figure("tempo-drift", title, summary, svg, header, table)


def _mean_band(values: list[float]) -> tuple[float, float, float]:
    """Mean of some swings and its 90 % interval, taken as normal."""
    n = len(values)
    mean = sum(values) / n
    spread = (sum((value - mean) ** 2 for value in values) / max(n - 1, 1)) ** 0.5
    half = 1.645 * spread / n**0.5
    return mean, mean - half, mean + half
