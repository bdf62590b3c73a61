"""A player's clubs as the planner needs them: reach, spread, run and start direction.

Rules
-----
1. Spread of carry is that of a named swing length (what the player means to hit), not the scatter
   around a measured speed: the speed itself is part of what goes wrong. A club's own spread counts
   by its balls, that of all the player's clubs like twenty more.
2. The reach is that of the carry curve (0.7 to 1.4 times the speeds seen); without speeds it is
   0.8 to 1.25 times the swing lengths' carries.
3. What is assumed instead of known is said in words beside the clubs.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analytics.answer import CENTRE
from analytics.carry_curve import carry_curves, curve_stack
from analytics.carry_ladder import LadderCell, carry_ladder
from analytics.carry_to_roll import player_runs
from analytics.db import Connection, ask
from analytics.errors import NothingYet
from analytics.mishits import SHARE_BEFORE, TAIL_MEAN, TAIL_SD
from analytics.power_curve import CarryCurve
from analytics.roll import Green
from analytics.run_ratio import REFERENCE, RunRatio, run_ratio
from analytics.shot_simulation import PlanClub

START_SD_DEG, START_FREEDOM = 2.5, 6.0
CLUBS_WORTH = 20.0
WITHOUT_SPEEDS = (0.8, 1.25)


@dataclass(frozen=True)
class PlanClubs:
    """Clubs ready for the planner, and what was assumed for want of data, in words."""

    clubs: tuple[PlanClub, ...]
    assumed: tuple[str, ...]


@dataclass(frozen=True)
class Spread:
    """Spread of ln carry from ball to ball around what is meant, and how well it is known."""

    sd: float
    freedom: float


@dataclass(frozen=True)
class StartDirection:
    """Where clean balls start: standing side (degrees, + right) and spread of one ball."""

    bias_deg: float
    sd_deg: float
    n_shots: int


def plan_clubs(connection: Connection, player_id: str, wet: bool = False) -> PlanClubs:
    """The player's clubs. Raises: NothingYet without a ball that has a club and a carry."""
    cells = carry_ladder(connection, player_id)
    if not cells:
        raise NothingYet(
            "There is no ball with a club and a carry yet.", "import a launch device's export"
        )
    curves = {curve.club: curve for curve in carry_curves(connection, player_id)}
    start, spread = start_direction(connection, player_id), _spreads(connection, player_id)
    runs, greens = player_runs(connection, player_id), session_greens(connection, player_id)
    clubs, assumed = [], []
    for name in sorted({cell.club for cell in cells}):
        ratio = run_ratio(name, runs, greens, wet)
        mine = [cell for cell in cells if cell.club == name]
        clubs.append(_club(mine, curves.get(name), spread[name], ratio, start))
        if ratio.n_shots == 0:
            assumed.append(f"{name}: run from the trade's chart, no own run is known")
    if start.n_shots == 0:
        assumed.append(f"start directions spread by {START_SD_DEG:g}°, none is known")
    if wet and not any(run.wet for run in runs):
        assumed.append("wet green: no own run on a wet green is known; expect less run")
    return PlanClubs(tuple(clubs), tuple(assumed))


def session_greens(connection: Connection, player_id: str) -> dict[str, Green]:
    """The green of each day whose speed was noted, by session_id."""
    rows = ask(connection, "session_greens", {"player_id": player_id}).to_pylist()
    return {
        row["session_id"]: Green(row["green_speed_ft"], row["slope_deg"], row["fall_line_deg"])
        for row in rows
    }


def start_direction(connection: Connection, player_id: str) -> StartDirection:
    """Standing side and spread of start directions, drawn toward none and the usual spread."""
    columns = ask(connection, "start_directions", {"player_id": player_id}).to_pydict()
    n, mean, variance = (
        np.array(columns[name], dtype=np.float64) for name in ("n", "mean_deg", "variance")
    )
    if n.size == 0:
        return StartDirection(0.0, START_SD_DEG, 0)
    freedom = float(np.maximum(n - 1, 0).sum())
    within = float((np.maximum(n - 1, 0) * np.nan_to_num(variance)).sum())
    sd = math.sqrt((START_FREEDOM * START_SD_DEG**2 + within) / (START_FREEDOM + freedom))
    side = float((n * mean).sum() / n.sum())
    between = float(mean.var(ddof=1)) if n.size > 1 else START_SD_DEG**2
    doubt2 = sd**2 / float(n.sum()) + between / n.size
    return StartDirection(side * side**2 / (side**2 + doubt2), sd, int(n.sum()))


def _club(
    cells: Sequence[LadderCell],
    curve: CarryCurve | None,
    spread: Spread,
    ratio: RunRatio,
    start: StartDirection,
) -> PlanClub:
    low, high = _reach(cells, curve)
    n_shots = sum(cell.centre.n_shots for cell in cells)
    return PlanClub(
        club=cells[0].club,
        carry_low_m=low,
        carry_high_m=high,
        carry_shot_sd=spread.sd,
        carry_common_sd=_pooled([math.hypot(c.day_sd, c.log_centre_sd) for c in cells], cells),
        run_ratio=ratio.ratio,
        run_shot_sd=ratio.shot_sd,
        run_common_sd=ratio.common_sd,
        run_seen_on=REFERENCE,
        start_sd_deg=start.sd_deg,
        start_bias_deg=start.bias_deg,
        spread_doubt=math.sqrt(0.5 / spread.freedom),
        mishit_share=float(curve.tail.share) if curve else SHARE_BEFORE,
        mishit_log_mean=float(curve.tail.mean) if curve else TAIL_MEAN,
        mishit_log_sd=float(curve.tail.sd) if curve else TAIL_SD,
        n_shots=n_shots,
        n_sessions=max(cell.centre.n_sessions for cell in cells),
        too_early=_too_early(cells, curve, ratio),
    )


def _reach(cells: Sequence[LadderCell], curve: CarryCurve | None) -> tuple[float, float]:
    if curve is not None:
        low, high = (math.exp(curve.log_carry(speed)[0]) for speed in curve.range_mps)
        # A hair inside, so that the speed for the ends is still within the curve's range.
        return low * 1.001, high * 0.999
    carries = [math.exp(cell.log_centre) for cell in cells]
    return WITHOUT_SPEEDS[0] * min(carries), WITHOUT_SPEEDS[1] * max(carries)


def _spreads(connection: Connection, player_id: str) -> dict[str, Spread]:
    """Spread of each club from its swing lengths' own scatter, drawn toward all clubs'."""
    stack = curve_stack(connection, "length", True)
    table, fit, usual = stack.table, stack.fit, stack.population
    mine = np.array([table.players[i] == player_id for i in table.player], dtype=np.bool_)
    squares, freedom = fit.own_variance * fit.own_dof, fit.own_dof
    all_freedom = usual.shot_dof + float(freedom[mine].sum())
    of_all = (usual.shot_dof * usual.shot_sd**2 + float(squares[mine].sum())) / all_freedom
    worth = min(CLUBS_WORTH, all_freedom)
    found = {}
    for number, name in enumerate(table.clubs):
        own = mine & (table.club == number)
        total = worth + float(freedom[own].sum())
        variance = (worth * of_all + float(squares[own].sum())) / total
        found[name] = Spread(math.sqrt(variance), total)
    return found


def _pooled(sds: Sequence[float], cells: Sequence[LadderCell]) -> float:
    weight = [cell.centre.n_shots for cell in cells]
    return math.sqrt(
        sum(w * sd * sd for w, sd in zip(weight, sds, strict=True)) / max(sum(weight), 1)
    )


def _too_early(cells: Sequence[LadderCell], curve: CarryCurve | None, ratio: RunRatio) -> str:
    """What the carry or the run still lacks before a plan can rest on this club."""
    early = [cell.centre.need for cell in cells if cell.centre.state == "too_early"]
    carry = curve.need if curve is not None else (early[0] if early else "")
    run = (
        f"run known of {ratio.n_shots} of {CENTRE.shots} balls"
        if ratio.n_shots < CENTRE.shots
        else ""
    )
    return ", ".join(part for part in (carry, run) if part)
