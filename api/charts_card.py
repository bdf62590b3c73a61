"""Charts of the carry card: the ladder of swings, and one curve per club with its balls."""

from collections.abc import Sequence

import numpy as np

from analytics.carry_curve import carry_curves
from analytics.db import Connection
from analytics.power_curve import CarryAt, CarryCurve
from analytics.shot_points import ShotPoint, shot_points
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.curve import Band, Points, curve_svg
from api.plots.rows import Row, rows_svg
from api.plots.svg import Figure

STEPS = 25
TABLE_ROWS = 6


def figures(con: Connection, player: PlayerCard, view: View) -> list[Figure]:
    """Every chart of the card."""
    ladder = carry_curves(con, player.player_id, by_swing_length=True)
    curves = carry_curves(con, player.player_id)
    points = shot_points(con, player.player_id)
    shown = [ladder_figure(view, ladder)] if ladder else []
    return shown + [curve_figure(view, one, points) for one in curves]


def ladder_figure(view: View, curves: Sequence[CarryCurve]) -> Figure:
    """Carry of each club and swing length at the speed usual for it, longest first."""
    say = view.texts.say
    at = [(one, one.carry(one.speed_middle_mps)) for one in curves]
    at.sort(key=lambda pair: pair[1].value)
    rows, table = [], []
    for one, carry in at:
        mean, shot = carry.centre, carry.one_shot
        values = (mean.value, mean.low, mean.high, shot.low, shot.high)
        value, low, high, one_low, one_high = (
            None if v is None else view.to_length(v) for v in values
        )
        word = say(f"state.{one.state}") if one.state != "clear" else ""
        name = view.phrase(cell_name(one))
        rows.append(Row(name, value, low, high, one_low, one_high, word))
        table.append(
            (
                name,
                view.quantity(mean.value, "m"),
                view.interval(mean.low, mean.high, "m"),
                view.interval(shot.low, shot.high, "m"),
                str(one.n_shots),
                str(one.n_sessions),
                say(f"state.{one.state}"),
            )
        )
    summary = say("card.ladder_summary", cells=len(rows))
    names = ("cell", "carry", "mean", "one_ball", "shots", "days", "state")
    header = tuple(say(f"column.{name}") for name in names)
    title = say("card.ladder")
    svg = rows_svg(rows, say("card.axis_carry", unit=view.length), summary)
    return Figure("card-ladder", title, summary, svg, header, tuple(table))


def cell_name(curve: CarryCurve) -> str:
    """Club and swing length as one name."""
    return f"{curve.club} {curve.swing_length}" if curve.swing_length else curve.club


def curve_figure(view: View, curve: CarryCurve, balls: Sequence[ShotPoint]) -> Figure:
    """One curve with the band for the mean, the band for one ball, and the balls behind it."""
    say = view.texts.say
    own = [ball for ball in balls if ball.club == curve.club]
    speeds = np.linspace(curve.speed_low_mps, curve.speed_high_mps, STEPS)
    at = [curve.carry(float(speed)) for speed in speeds]
    band = _band(view, at)
    points = Points(
        [view.to_speed(ball.club_speed_mps) for ball in own],
        [view.to_length(ball.carry_m) for ball in own],
        [ball.mishit for ball in own],
    )
    middle = curve.carry(curve.speed_middle_mps)
    mishits = sum(points.aside)
    summary = say(
        "card.curve_summary",
        club=curve.club,
        speed=view.quantity(middle.speed_mps, "m/s"),
        carry=view.quantity(middle.value, "m"),
        interval=view.interval(middle.centre.low, middle.centre.high, "m"),
        one=view.interval(middle.one_shot.low, middle.one_shot.high, "m"),
        shots=curve.n_shots,
        days=curve.n_sessions,
        mishits=mishits,
        state=say(f"state.{curve.state}"),
    )
    titles = (
        say("card.axis_speed", unit=view.speed),
        say("card.axis_carry", unit=view.length),
    )
    rows = _table(view, at[:: (STEPS - 1) // (TABLE_ROWS - 1)])
    header = tuple(say(f"column.{name}") for name in ("speed", "carry", "mean", "one_ball"))
    title = say("card.curve", club=curve.club)
    return Figure(
        f"card-{curve.club}", title, summary, curve_svg(points, band, titles, summary), header, rows
    )


def _band(view: View, at: Sequence[CarryAt]) -> Band:
    return Band(
        [view.to_speed(one.speed_mps) for one in at],
        [view.to_length(one.value) for one in at],
        *_ends(view, [(one.centre.low, one.centre.high) for one in at]),
        *_ends(view, [(one.one_shot.low, one.one_shot.high) for one in at]),
    )


def _table(view: View, at: Sequence[CarryAt]) -> tuple[tuple[str, ...], ...]:
    return tuple(
        (
            view.quantity(one.speed_mps, "m/s"),
            view.quantity(one.value, "m"),
            view.interval(one.centre.low, one.centre.high, "m"),
            view.interval(one.one_shot.low, one.one_shot.high, "m"),
        )
        for one in at
    )


def _ends(
    view: View, pairs: Sequence[tuple[float | None, float | None]]
) -> tuple[list[float], list[float]]:
    lows = [view.to_length(low or 0.0) for low, _ in pairs]
    highs = [view.to_length(high or 0.0) for _, high in pairs]
    return lows, highs
