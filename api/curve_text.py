"""Carry curves as lines of text and as plain documents, for the command line."""

from collections.abc import Iterator, Sequence

import numpy as np

from analytics.answer import Answer
from analytics.power_curve import CarryCurve
from api.reader_units import ReaderUnits

ROWS = 5
"""Speeds shown per curve, from the slowest to the fastest seen."""


def curve_speeds(curve: CarryCurve) -> list[float]:
    """Round-numbered speeds from the slowest to the fastest seen, m/s."""
    speeds = np.linspace(curve.speed_low_mps, curve.speed_high_mps, ROWS)
    return sorted({float(speed) for speed in speeds})


def curve_name(curve: CarryCurve) -> str:
    """`SW`, or `SW hip` for one swing length."""
    return f"{curve.club} {curve.swing_length}" if curve.swing_length else curve.club


def state_words(state: str, need: str) -> str:
    """`clear`, `leaning`, or `too early: 8 of 15 shots`."""
    return f"too early: {need}" if state == "too_early" else state


def curve_lines(curve: CarryCurve, units: ReaderUnits, level: float) -> Iterator[str]:
    """The curve as a small table with what it rests on."""
    days = "day" if curve.n_sessions == 1 else "days"
    yield (
        f"{curve_name(curve)}: {state_words(curve.state, curve.need)} "
        f"({curve.n_shots} clean shots, {curve.n_sessions} {days}, {curve.speed_kind} speed)"
    )
    yield (
        f"  {units.speed:>8}  {'middle ' + units.length:>20}  {'one clean ball':>16}  "
        f"{'any ball':>14}   at {100 * level:.0f} %"
    )
    for speed in curve_speeds(curve):
        at = curve.carry(speed, level)
        centre = _number(units.of_metres(at.value))
        yield (
            f"  {units.of_mps(speed):8.1f}  {centre + ' (' + span(at.centre, units) + ')':>20}  "
            f"{span(at.one_shot, units):>16}  {span(at.with_mishits, units):>14}"
        )
    marked = curve.n_coach + curve.n_rule
    yield (
        f"  spread of one ball {100 * curve.shot_sd:.1f} % of carry within a day, "
        f"{100 * curve.day_sd:.1f} % from day to day"
    )
    yield (
        f"  mishits {marked} of {marked + curve.n_shots} ({curve.n_coach} by the coach, "
        f"{curve.n_rule} by rule): {100 * curve.share_low:.0f} to {100 * curve.share_high:.0f} %"
    )
    yield f"  speed error {curve.speed_error}"
    yield f"  {leaning_words(curve.n_players)}"


def leaning_words(n_players: int) -> str:
    """What the answer leans on where own balls are few: other players, or what is assumed."""
    if not n_players:
        return "leans on what is assumed of any player"
    return f"leans on what {n_players} players of the same coach have in common"


def span(answer: Answer, units: ReaderUnits) -> str:
    """`5.8 to 6.1` in the reader's length unit."""
    if answer.low is None or answer.high is None:
        return "–"
    low, high = units.of_metres(answer.low), units.of_metres(answer.high)
    return f"{_number(low)} to {_number(high)}"


def curve_document(
    curve: CarryCurve, level: float, speeds: Sequence[float] | None = None
) -> dict[str, object]:
    """The curve as a plain document, SI units in the names."""
    low, high = curve.range_mps
    return {
        "club": curve.club,
        "swing_length": curve.swing_length,
        "speed_kind": curve.speed_kind,
        "state": curve.state,
        "need": curve.need,
        "n_shots": curve.n_shots,
        "n_sessions": curve.n_sessions,
        "log_level": curve.log_level,
        "exponent": curve.exponent,
        "shot_sd": curve.shot_sd,
        "day_sd": curve.day_sd,
        "day_share": curve.day_share,
        "own_shot_sd": curve.own_days.shot_sd if curve.own_days else None,
        "own_day_sd": curve.own_days.day_sd if curve.own_days else None,
        "n_mishits_coach": curve.n_coach,
        "n_mishits_rule": curve.n_rule,
        "mishit_share": curve.mishit_share,
        "mishit_share_low": curve.share_low,
        "mishit_share_high": curve.share_high,
        "speed_error": curve.speed_error,
        "speed_low_mps": low,
        "speed_high_mps": high,
        "n_players": curve.n_players,
        "fit_version": curve.fit_version,
        "points": [point_document(curve, speed, level) for speed in speeds or curve_speeds(curve)],
    }


def point_document(curve: CarryCurve, speed_mps: float, level: float) -> dict[str, object]:
    """Carry at one speed with its three bands, metres."""
    at = curve.carry(speed_mps, level)
    return {
        "speed_mps": speed_mps,
        "carry_m": at.value,
        "centre_low_m": at.centre.low,
        "centre_high_m": at.centre.high,
        "one_shot_low_m": at.one_shot.low,
        "one_shot_high_m": at.one_shot.high,
        "with_mishits_m": at.with_mishits.value,
        "with_mishits_low_m": at.with_mishits.low,
        "with_mishits_high_m": at.with_mishits.high,
        "level": level,
    }


def _number(value: float) -> str:
    return f"{value:.1f}"
