"""Which club, landing spot and start line leave this chip best, and how much better.

Rules
-----
1. For each club the landing spot and start line with the fewest expected strokes are searched, on a
   grid that narrows three times, with the same random balls for every candidate.
2. The values told come from other random balls than the search, so the best of many is not praised
   for its luck.
3. Every chance stands with a 90 % interval over days and over what is not known yet of the curve.
4. Clubs whose curve does not reach the green are listed with the reason; a curve that is too early
   makes the plan too early.
5. The best club is `clear` when it is better than the next by more than a tenth of a stroke and by
   more than three times the simulation's error, `leaning` otherwise.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.answer import FIT_VERSION, State
from analytics.errors import BadQuestion, OutOfRange
from analytics.putting import PuttCosts
from analytics.roll import stimp_deceleration_mps2
from analytics.shot_simulation import Choice, Draws, PlanClub, Plays, Situation, draws, play

Array = NDArray[np.float64]

MATTERS_STROKES = 0.1
SEARCH_BALLS = (4, 128)
TOLD_BALLS = (64, 128)
NARROWINGS = 3
CARRY_STEPS, AIM_STEPS = 9, 5


@dataclass(frozen=True)
class Chance:
    """A probability with its 90 % interval over days and over what is not known yet."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class ClubPlan:
    """The best way to play one club: carry to aim at, start line, and what to expect of it.

    `land_on_m` is how far past the edge the ball should land; `run_m` the median run; `strokes`
    the expected strokes from here, chip included, with the error of the simulation; `n_shots`
    balls on `n_sessions` days stand behind the club.
    """

    club: str
    carry_m: float
    aim_deg: float
    land_on_m: float
    run_m: float
    leave_zone: Chance
    up_and_down: Chance
    short_of_green: float
    median_leave_m: float
    strokes: float
    strokes_error: float
    n_shots: int
    n_sessions: int
    too_early: str
    plays: Plays


@dataclass(frozen=True)
class LeftOut:
    """A club that cannot play this chip, and why."""

    club: str
    reason: str


@dataclass(frozen=True)
class ShotPlan:
    """All clubs, the best first; how much better the best is than the next, in strokes."""

    situation: Situation
    clubs: tuple[ClubPlan, ...]
    left_out: tuple[LeftOut, ...]
    better_by: float | None
    better_error: float | None
    state: State
    need: str
    putting_label: str
    fit_version: str = FIT_VERSION


def plan_shot(
    spot: Situation, clubs: tuple[PlanClub, ...], costs: PuttCosts, seed: int = 1
) -> ShotPlan:
    """The plan for one chip.

    Raises: BadQuestion for an impossible situation; OutOfRange when no club reaches the green, or
    a ball does not stop on it.
    """
    _check(spot)
    search, told = draws(*SEARCH_BALLS, seed=seed), draws(*TOLD_BALLS, seed=seed + 1)
    plans, left_out = [], []
    for club in clubs:
        reason = _why_not(spot, club)
        if reason:
            left_out.append(LeftOut(club.club, reason))
            continue
        choice = best_choice(spot, club, search, costs)
        plans.append(_club_plan(spot, club, choice, told, costs))
    if not plans:
        raise OutOfRange(
            "No club plays this chip: " + "; ".join(f"{o.club} {o.reason}" for o in left_out) + ".",
            "hit balls at these carries first, or choose another landing spot",
        )
    plans.sort(key=lambda one: one.strokes)
    return _compare(spot, plans, left_out, costs.label)


def best_choice(spot: Situation, club: PlanClub, by: Draws, costs: PuttCosts) -> Choice:
    """Carry and start line with the fewest expected strokes for one club."""
    low, high = _carry_limits(spot, club)
    middle = (low + high) / 2
    best = Choice(middle, _straight_aim(spot, club, middle, costs))
    carry_half, aim_half = (high - low) / 2, 4.0
    for _ in range(NARROWINGS + 1):
        carries = best.carry_m + np.linspace(-1, 1, CARRY_STEPS) * carry_half
        aims = best.aim_deg + np.linspace(-1, 1, AIM_STEPS) * aim_half
        choices = [
            Choice(float(carry), float(aim))
            for carry in np.unique(np.clip(carries, low, high))
            for aim in aims
        ]
        best = min(choices, key=lambda one: expected_strokes(spot, club, one, by, costs))
        carry_half, aim_half = carry_half / 3, aim_half / 2.5
    return best


def expected_strokes(
    spot: Situation, club: PlanClub, choice: Choice, by: Draws, costs: PuttCosts
) -> float:
    """Expected strokes of one choice, chip included."""
    return float(play(spot, club, choice, by, costs).strokes.mean())


def _straight_aim(spot: Situation, club: PlanClub, carry_m: float, costs: PuttCosts) -> float:
    """Start line that brings a perfect ball's finish onto the line to the hole."""
    still = np.zeros(1)
    one = Draws(1, 1, still, still, still, still, still, still, np.ones(1), still)
    aim = -club.start_bias_deg
    for _ in range(8):
        ball = play(spot, club, Choice(carry_m, aim), one, costs)
        aim -= math.degrees(math.atan2(ball.rest_right_m[0], max(ball.rest_along_m[0], 0.1)))
    return float(np.clip(aim, -60, 60))


def _carry_limits(spot: Situation, club: PlanClub) -> tuple[float, float]:
    """Carries worth trying: on the green, not beyond the hole, and within the curve."""
    low = max(spot.edge_m / spot.carry_factor, club.carry_low_m)
    high = min(max(spot.hole_m, spot.edge_m + 0.3) / spot.carry_factor, club.carry_high_m)
    return low, high


def _why_not(spot: Situation, club: PlanClub) -> str:
    low, high = _carry_limits(spot, club)
    if low < high:
        return ""
    return (
        f"carries {club.carry_low_m:.1f} to {club.carry_high_m:.1f} m within its curve, and"
        f" {spot.edge_m:.1f} to {spot.hole_m:.1f} m are asked"
    )


def _club_plan(
    spot: Situation, club: PlanClub, choice: Choice, by: Draws, costs: PuttCosts
) -> ClubPlan:
    plays = play(spot, club, choice, by, costs)
    ran = np.hypot(plays.rest_along_m - plays.land_along_m, plays.rest_right_m - plays.land_right_m)
    one_putt = np.where(plays.on_green, costs.one_putt(plays.leave_m), 0.0)
    days = plays.strokes.reshape(by.groups, by.size).mean(axis=1)
    return ClubPlan(
        club=club.club,
        carry_m=choice.carry_m,
        aim_deg=choice.aim_deg,
        land_on_m=choice.carry_m * spot.carry_factor - spot.edge_m,
        run_m=float(np.median(ran[plays.on_green])) if plays.on_green.any() else 0.0,
        leave_zone=_chance(plays.in_zone.astype(np.float64), by),
        up_and_down=_chance(one_putt, by),
        short_of_green=float(1 - plays.on_green.mean()),
        median_leave_m=float(np.median(plays.leave_m)),
        strokes=float(plays.strokes.mean()),
        strokes_error=float(days.std(ddof=1) / math.sqrt(by.groups)),
        n_shots=club.n_shots,
        n_sessions=club.n_sessions,
        too_early=club.too_early,
        plays=plays,
    )


def _chance(flags: Array, by: Draws) -> Chance:
    days = flags.reshape(by.groups, by.size).mean(axis=1)
    low, high = np.quantile(days, [0.05, 0.95])
    return Chance(float(flags.mean()), float(low), float(high))


def _compare(
    spot: Situation, plans: list[ClubPlan], left_out: list[LeftOut], label: str
) -> ShotPlan:
    need = "; ".join(f"{one.club}: {one.too_early}" for one in plans[:2] if one.too_early)
    better = error = None
    clear = len(plans) == 1
    if len(plans) > 1:
        apart = plans[1].plays.strokes - plans[0].plays.strokes
        days = apart.reshape(TOLD_BALLS).mean(axis=1)
        better, error = float(apart.mean()), float(days.std(ddof=1) / math.sqrt(days.size))
        clear = better > max(MATTERS_STROKES, 3 * error)
    state: State = "too_early" if need else "clear" if clear else "leaning"
    return ShotPlan(spot, tuple(plans), tuple(left_out), better, error, state, need, label)


def _check(spot: Situation) -> None:
    stimp_deceleration_mps2(spot.green.speed_ft)
    if not 0 <= spot.edge_m < spot.hole_m <= 100:
        raise BadQuestion(
            f"An edge at {spot.edge_m:g} m and a hole at {spot.hole_m:g} m cannot be.",
            "give both distances from the ball, the edge nearer than the hole",
        )
    if not 0 <= spot.green.slope_deg <= 20:
        raise BadQuestion(
            f"A slope of {spot.green.slope_deg:g}° is not a green.", "give 0 to 20 degrees"
        )
