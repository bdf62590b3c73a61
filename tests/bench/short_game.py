"""Short game: published putting, the planner against brute force, promises kept, honest scores."""

import csv
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from analytics.hole import FOOT_M
from analytics.leave import summarise
from analytics.plan_clubs import plan_clubs
from analytics.putting import TOUR, fit_angle, fit_angle_distance, putt_costs
from analytics.score_history import (
    StationScores,
    last_change,
    stations_to_work_on,
    target_chance,
)
from analytics.scored_rules import built_in_rules
from analytics.shot_plan import ShotPlan, expected_strokes, plan_shot
from analytics.shot_simulation import Choice, PlanClub, Situation, draws, play
from analytics.speed_for import speeds_for
from tests.bench.rows import Row
from tests.bench.short_game_players import PLAYER, Truth, book_of, carry_m, chip, draw_truth

GROUP = "short-game"
DATA = Path(__file__).parents[1] / "references" / "check_data"
COSTS = putt_costs(TOUR.scaled(1.58, "simulated players"))
HOLE_OUT = built_in_rules()["nine_station_hole_out@1"]
PUBLISHED_FT = np.array([2, 3, 4, 5, 8, 10, 12, 15, 20, 30, 32, 40, 50, 60])
PUBLISHED = np.array([99, 96, 88, 77, 50, 40, 30, 23, 15, 7, 6, 4, 3, 2]) / 100


def rows(quick: bool = False) -> list[Row]:
    """Every figure of the short game."""
    return [
        *putting(),
        *planner(3 if quick else 8),
        *promises(10 if quick else 40),
        *scores(400 if quick else 3000),
        *luck(200 if quick else 2000),
    ]


def value(name: str, found: float, aim: str, holds: bool) -> Row:
    """A plain figure against its aim."""
    return Row(name, GROUP, float(found), None, aim, bool(holds))


def putting() -> Iterator[Row]:
    """Fits to the public data sets, and the published make percentages."""
    old = fit_angle(*_counts("putting_berry_1996"), "")
    off = abs(np.degrees(old.sigma_rad) - 1.526671)
    yield value("putting, 1996 data: off the published angle, deg", off, "<= 1e-5", off <= 1e-5)
    new = fit_angle_distance(*_counts("putting_broadie_2018"), "").model
    off = abs(np.degrees(new.sigma_angle_rad) - 1.01998)
    yield value("putting, 2018 data: off the published angle, deg", off, "<= 1e-4", off <= 1e-4)
    worst = np.abs(new.make(PUBLISHED_FT * FOOT_M) - PUBLISHED).max()
    yield value("putting: worst off published make share", worst, "<= 0.02", worst <= 0.02)


def _counts(name: str) -> list[np.ndarray]:
    with (DATA / f"{name}.csv").open(encoding="utf-8") as handle:
        listed = list(csv.DictReader(handle))
    return [np.array([float(r[k]) for r in listed]) for k in ("distance_ft", "tries", "successes")]


def planner(chips: int) -> Iterator[Row]:
    """Choice, value and time against a fine grid played with the same number of balls."""
    rng = np.random.default_rng(17)
    same, worse, taken, brute = 0, [], 0.0, 0.0
    for _ in range(chips):
        spot, truth = chip(rng), draw_truth(rng)
        bag = tuple(truth.club(name, 1.5, 20.0) for name in truth.run_log)
        start = time.perf_counter()
        plan = plan_shot(spot, bag, COSTS)
        taken += time.perf_counter() - start
        start = time.perf_counter()
        grid = {club.club: _fine_grid(spot, club) for club in bag}
        brute += time.perf_counter() - start
        judged = draws(64, 128, 991)
        best = {c.club: expected_strokes(spot, c, grid[c.club], judged, COSTS) for c in bag}
        mine = {one.club: _judge(spot, bag, one.club, plan, judged) for one in plan.clubs}
        chosen, top = plan.clubs[0], min(best, key=lambda name: best[name])
        tie = best[chosen.club] - best[top] < 3 * chosen.strokes_error
        same += chosen.club == top or tie
        worse.append(max(mine[name] - best[name] for name in best))
    yield value(f"planner: same club as brute force, of {chips}", same, "all", same == chips)
    yield value(
        "planner: worst strokes over brute force", max(worse), "<= 0.02", max(worse) <= 0.02
    )
    ratio = taken / brute
    yield Row("planner: time per plan / fine grid", GROUP, None, ratio, "<= 0.2", ratio <= 0.2)


def _fine_grid(spot: Situation, club: PlanClub) -> Choice:
    """The best of a fine grid over the whole green and 16 degrees of start lines."""
    by = draws(4, 128, 7)
    low, high = max(spot.edge_m, club.carry_low_m), min(spot.hole_m, club.carry_high_m)
    grid = [
        Choice(float(carry), float(aim))
        for carry in np.arange(low, high + 0.15, 0.15)
        for aim in np.arange(-14, 14.1, 0.75) - club.start_bias_deg
    ]
    return min(grid, key=lambda choice: expected_strokes(spot, club, choice, by, COSTS))


def _judge(spot: Situation, bag: tuple[PlanClub, ...], name: str, plan: ShotPlan, by) -> float:
    club = next(one for one in bag if one.club == name)
    told = next(one for one in plan.clubs if one.club == name)
    return expected_strokes(spot, club, Choice(told.carry_m, told.aim_deg), by, COSTS)


def promises(players: int) -> Iterator[Row]:
    """Chances promised from a player's rows against those the true player keeps.

    The player swings at the speed the plan tells, so what the curve gets wrong is felt.
    """
    rng = np.random.default_rng(23)
    told, kept, inside = [], [], []
    for number in range(players):
        truth, spot = draw_truth(rng), chip(rng)
        book = book_of(truth, rng)
        bag = plan_clubs(book, PLAYER)
        one = plan_shot(spot, bag.clubs, COSTS, seed=number).clubs[0]
        speed = speeds_for(book, PLAYER, one.carry_m, one.club)[0].speed
        assert speed is not None
        meant = Choice(carry_m(one.club, speed.value), one.aim_deg)
        days = _days_kept(truth, spot, one.club, meant)
        for chance, kept_days in zip((one.leave_zone, one.up_and_down), days, strict=True):
            told.append(chance.value)
            kept.append(kept_days.mean())
            inside.append(np.mean((kept_days >= chance.low) & (kept_days <= chance.high)))
    off = np.array(told) - np.array(kept)
    yield value("promises: mean told less kept", off.mean(), "within 0.02", abs(off.mean()) <= 0.02)
    spread = np.sqrt((off**2).mean())
    yield value("promises: told against kept, root mean square", spread, "<= 0.06", spread <= 0.06)
    covered = float(np.mean(inside))
    yield value("promises: days within the 90 % interval", covered, ">= 0.85", covered >= 0.85)


def _days_kept(
    truth: Truth, spot: Situation, club: str, choice: Choice
) -> tuple[np.ndarray, np.ndarray]:
    """True share in the leave zone and up and down, day by day."""
    by = draws(64, 512, 4242)
    plays = play(spot, truth.club(club, 1.0, 30.0), choice, by, COSTS)
    one_putt = np.where(plays.on_green, COSTS.one_putt(plays.leave_m), 0.0)
    shape = (by.groups, by.size)
    return plays.in_zone.reshape(shape).mean(axis=1), one_putt.reshape(shape).mean(axis=1)


def scores(players: int) -> Iterator[Row]:
    """Scored tests of players for whom nothing changes."""
    rng = np.random.default_rng(29)
    crossed = real = 0
    seen_off, told_off, promised, reached = [], [], [], []
    for _ in range(players):
        hard, sittings = _sittings(rng, 5)
        totals = sittings.sum(axis=1)
        crossed += last_change(totals[:4].tolist(), HOLE_OUT).verdict in ("better", "worse")
        chance = target_chance(totals[:4].tolist(), HOLE_OUT)
        promised.append(chance.value)
        reached.append(totals[4] <= HOLE_OUT.target)
        listed = _stations(sittings[:4])
        real += listed.any_real
        worst = max(listed.stations, key=lambda one: one.seen)
        seen_off.append(worst.seen - hard[worst.station - 1])
        told_off.append(worst.expected - hard[worst.station - 1])
    share = crossed / players
    yield value("scores: no change called real", share, "<= 0.08", share <= 0.08)
    off = abs(np.mean(promised) - np.mean(reached))
    yield value("scores: target chance told less kept", off, "<= 0.03", off <= 0.03)
    ratio = float(np.sqrt(np.mean(np.square(told_off)) / np.mean(np.square(seen_off))))
    yield Row(
        "scores: worst station, shrunken / seen error", GROUP, None, ratio, "<= 0.5", ratio <= 0.5
    )
    yield value("scores: worst station seen too bad by", np.mean(seen_off), "told beside it", True)


def _sittings(rng: np.random.Generator, count: int) -> tuple[np.ndarray, np.ndarray]:
    """True means of nine stations, and strokes of so many sittings: two putts or one, now and then
    three or a holed chip.
    """
    two_putts = np.clip(rng.normal(rng.normal(0.42, 0.15), 0.1, 9), 0.05, 0.95)
    hard = 2 + two_putts + 0.06 - 0.03
    shape = (count, 9)
    strokes = 2 + (rng.random(shape) < two_putts) + (rng.random(shape) < 0.06)
    return hard, strokes - (rng.random(shape) < 0.03)


def _stations(sittings: np.ndarray):
    n = np.full(9, float(len(sittings)))
    seen = StationScores(
        tuple(range(1, 10)), ("",) * 9, n, sittings.mean(axis=0), sittings.var(axis=0, ddof=1)
    )
    return stations_to_work_on(seen, HOLE_OUT)


def luck(players: int) -> Iterator[Row]:
    """Even leaves: score at chance, and are not called skill."""
    rng = np.random.default_rng(31)
    called, shares = 0, []
    for _ in range(players):
        told = summarise(rng.uniform(0.2, 3, 40), rng.uniform(0, 360, 40), 2, COSTS, TOUR)
        called += told.shares[0].state == "clear"
        shares.append(told.shares[0].value)
    off = abs(np.mean(shares) - 1 / 3)
    yield value("luck: even leaves off a third in the sector", off, "<= 0.01", off <= 0.01)
    share = called / players
    yield value("luck: even leaves called clear (90 % interval)", share, "<= 0.12", share <= 0.12)
