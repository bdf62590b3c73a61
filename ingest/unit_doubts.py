"""Stated units that the numbers disprove: doubted and asked about, never used, never replaced."""

from collections.abc import Mapping

import numpy as np

from ingest.column_units import LIKELY, Case, fits_limits, launch_in_deg
from ingest.physics import MIN_ROWS, carry_pairs, median_ratio, speed_pairs
from ingest.units import UNITS

RATIO_ROWS = 5


def doubted(cases: Mapping[str, Case], table: str) -> dict[str, tuple[tuple[str, ...], str]]:
    """Columns whose stated unit the numbers disprove → (units that are possible, why)."""
    found: dict[str, tuple[tuple[str, ...], str]] = {}
    for name, case in cases.items():
        if case.unit is None or case.plan.unit_from in {"physics", "option"}:
            continue
        enough = np.isfinite(case.values).sum() >= 3
        if enough and not fits_limits(case, case.unit, table):
            possible = [u for u in _alternatives(case) if fits_limits(case, u, table, 0.9)]
            if possible:
                found[name] = (tuple(possible), "most values are impossible in the stated unit")
    found |= _doubted_ratio(cases, "ball_to_club_ratio", "ball_speed_mps", "club_speed_mps")
    found |= _doubted_ratio(cases, "tempo_ratio", "backswing_s", "downswing_s")
    return found or _doubted_by_flight(cases)


def _doubted_ratio(
    cases: Mapping[str, Case], name: str, top: str, bottom: str
) -> dict[str, tuple[tuple[str, ...], str]]:
    """A ratio that is not the quotient of its two columns means something else."""
    ratio, upper, lower = cases.get(name), cases.get(top), cases.get(bottom)
    if ratio is None or upper is None or lower is None:
        return {}
    if not (ratio.unit and upper.unit and lower.unit) or ratio.plan.unit_from == "option":
        return {}
    stated = UNITS[ratio.unit].to_si(1.0) * ratio.values
    if ratio.plan.inverse:
        with np.errstate(divide="ignore", invalid="ignore"):
            stated = 1 / stated
    scale = UNITS[upper.unit].to_si(1.0) / UNITS[lower.unit].to_si(1.0)
    quotient = median_ratio(upper.values * scale, lower.values, RATIO_ROWS)
    middle = median_ratio(stated, np.ones_like(stated), RATIO_ROWS)
    if quotient is None or middle is None or 0.85 <= middle / quotient <= 1.18:
        return {}
    return {name: ((ratio.unit,), f"it is not {top} ÷ {bottom} (which is near {quotient:.2f})")}


def _alternatives(case: Case) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*LIKELY[case.dimension], *((case.unit,) if case.unit else ()))))


def _doubted_by_flight(cases: Mapping[str, Case]) -> dict[str, tuple[tuple[str, ...], str]]:
    """Carry against ball speed and launch: far from any flight means that one unit is wrong."""
    ball, carry, launch = cases.get("ball_speed_mps"), cases.get("carry_m"), launch_in_deg(cases)
    if ball is None or carry is None or launch is None or not (ball.unit and carry.unit):
        return {}
    if "option" in {ball.plan.unit_from, carry.plan.unit_from}:
        return {}
    if np.isfinite(carry.values * ball.values * launch).sum() < MIN_ROWS:
        return {}
    args = (carry.values, ball.values, launch)
    stated = carry_pairs(*args, carry_units=[carry.unit], speed_units=[ball.unit])
    if stated is None or stated:
        return {}
    why = "carry does not fit ball speed and launch angle in the stated units"
    vouched = _speeds_agree(cases)
    speed_units = (ball.unit,) if vouched else _alternatives(ball)
    pairs = carry_pairs(*args, carry_units=_alternatives(carry), speed_units=speed_units) or []
    found = {"carry_m": (tuple(dict.fromkeys(c for c, _ in pairs)) or (carry.unit,), why)}
    if not vouched:
        found["ball_speed_mps"] = (tuple(dict.fromkeys(s for _, s in pairs)) or (ball.unit,), why)
    return found


def _speeds_agree(cases: Mapping[str, Case]) -> bool:
    """Whether a club speed with its own stated unit vouches for the ball speed."""
    ball, club = cases["ball_speed_mps"], cases.get("club_speed_mps")
    if club is None or club.unit is None or ball.unit is None:
        return False
    return bool(
        speed_pairs(ball.values, club.values, [ball.unit], [club.unit], launch_in_deg(cases))
    )
