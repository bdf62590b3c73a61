"""The planner: laws, agreement with a hand simulation and with brute force, refusals."""

import math
from dataclasses import replace

import numpy as np
import pytest

from analytics.errors import BadQuestion, OutOfRange
from analytics.leave import zones
from analytics.putting import TOUR, putt_costs
from analytics.roll import Green, slope_pull_mps2, stimp_deceleration_mps2
from analytics.shot_plan import MATTERS_STROKES, best_choice, expected_strokes, plan_shot
from analytics.shot_simulation import Choice, PlanClub, Situation, draws, play
from analytics.stated_adjustments import adjustment

COSTS = putt_costs(TOUR.scaled(1.58, "invented amateur"))
FLAT = Green(10)


def club(name="SW", ratio=1.0, **changes) -> PlanClub:
    usual = PlanClub(
        club=name,
        carry_low_m=1.0,
        carry_high_m=25.0,
        carry_shot_sd=0.08,
        carry_common_sd=0.05,
        run_ratio=ratio,
        run_shot_sd=0.18,
        run_common_sd=0.08,
        run_seen_on=FLAT,
        start_sd_deg=2.0,
        mishit_share=0.05,
        mishit_log_mean=-0.35,
        mishit_log_sd=0.15,
    )
    return replace(usual, **changes)


SPOT = Situation(3.0, 14.0, Green(9.5, 1.5, 60))
BAG = (club("LW", 0.4), club("SW", 1.0), club("PW", 2.0), club("9I", 3.0))


def test_a_perfect_ball_stops_where_arithmetic_says() -> None:
    perfect = club(
        ratio=1.5,
        carry_shot_sd=0,
        carry_common_sd=0,
        run_shot_sd=0,
        run_common_sd=0,
        start_sd_deg=0,
        mishit_share=0,
    )
    plays = play(Situation(3, 14, FLAT), perfect, Choice(4.0, 0.0), draws(2, 4, 1), COSTS)
    assert plays.rest_along_m == pytest.approx(np.full(8, 10.0))
    assert plays.leave_m == pytest.approx(np.full(8, 4.0))
    assert plays.bearing_deg == pytest.approx(np.full(8, 180.0))
    faster = play(Situation(3, 14, Green(12)), perfect, Choice(4.0, 0.0), draws(2, 4, 1), COSTS)
    assert faster.rest_along_m == pytest.approx(np.full(8, 4 + 6 * 1.2))


def roll_by_steps(speed, heading_deg, green, start, hole_m):
    """One ball by small steps in time: rest and whether it dropped. Written for this check."""
    slowing, pull = stimp_deceleration_mps2(green.speed_ft), slope_pull_mps2(green.slope_deg)
    fall = math.radians(green.fall_deg)
    x, y = start
    vx, vy = (
        speed * math.cos(math.radians(heading_deg)),
        speed * math.sin(math.radians(heading_deg)),
    )
    dt = 0.002
    while (now := math.hypot(vx, vy)) > slowing * dt:
        miss = math.hypot(x - hole_m, y)
        if miss < 0.0539 and now < 1.63 * (1 - (miss / 0.053975) ** 2):
            return x, y, True
        vx += (-slowing * vx / now + pull * math.cos(fall)) * dt
        vy += (-slowing * vy / now + pull * math.sin(fall)) * dt
        x, y = x + vx * dt, y + vy * dt
    return x, y, False


def test_plays_agree_with_a_simulation_in_small_steps() -> None:
    green = Green(10, 1.2, 200)
    spot, sand = Situation(2.0, 8.0, green), club(ratio=0.9)
    plays = play(spot, sand, Choice(4.2, 1.0), draws(64, 64, 7), COSTS)
    rng = np.random.default_rng(12)
    n, leave, bearing, holed = 1500, [], [], 0
    for _ in range(n):
        off = 0.05 * rng.standard_normal()
        mishit = rng.random() < 0.05
        off += rng.normal(-0.35, 0.15) if mishit else 0.08 * rng.standard_normal()
        carry, turn = 4.2 * math.exp(off), math.radians(1.0 + 2 * rng.standard_normal())
        run = carry * 0.9 * math.exp(math.hypot(0.18, 0.08) * rng.standard_normal())
        start = carry * math.cos(turn), carry * math.sin(turn)
        if start[0] < 2.0:
            x, y, dropped = (*start, False)
        else:
            speed = math.sqrt(2 * stimp_deceleration_mps2(10) * run)
            x, y, dropped = roll_by_steps(speed, math.degrees(turn), green, start, 8.0)
        holed += dropped
        leave.append(0.0 if dropped else math.hypot(x - 8, y))
        bearing.append((math.degrees(math.atan2(y, x - 8)) - 200) % 360)
    at = zones(np.array(leave), np.array(bearing))
    error = 3.5 * math.sqrt(0.25 / n)
    assert plays.in_zone.mean() == pytest.approx(at.leave_zone.mean(), abs=error)
    assert plays.holed.mean() == pytest.approx(holed / n, abs=3.5 * math.sqrt(0.02 / n) + 0.005)
    assert np.median(plays.leave_m) == pytest.approx(np.median(leave), abs=0.08)
    cost = np.where(np.array(leave) > 0, COSTS.expected(np.array(leave)), 0).mean()
    assert plays.strokes.mean() - 1 == pytest.approx(cost, abs=0.06)


def test_the_search_agrees_with_brute_force_on_a_fine_grid() -> None:
    told = plan_shot(SPOT, BAG, COSTS)
    judge = draws(32, 128, 99)
    found = {}
    for one in BAG:
        carries = np.arange(3.0, 14.0, 0.25)
        aims = np.arange(-12.0, 2.1, 1.0)
        grid = [Choice(float(c), float(a)) for c in carries for a in aims]
        quick = draws(4, 128, 55)
        ranked = sorted(grid, key=lambda choice: expected_strokes(SPOT, one, choice, quick, COSTS))
        found[one.club] = min(expected_strokes(SPOT, one, c, judge, COSTS) for c in ranked[:12])
    assert [plan.club for plan in told.clubs] == sorted(found, key=found.get)
    for plan in told.clubs:
        error = 3 * max(plan.strokes_error, 0.006)
        assert plan.strokes == pytest.approx(found[plan.club], abs=error)


def test_the_same_seed_gives_the_same_plan_and_others_the_same_choice() -> None:
    first, again, other = (plan_shot(SPOT, BAG[:2], COSTS, seed) for seed in (1, 1, 50))
    assert first.clubs[0].strokes == again.clubs[0].strokes
    assert first.clubs[0].club == other.clubs[0].club
    assert first.clubs[0].strokes == pytest.approx(other.clubs[0].strokes, abs=0.04)


def test_a_mirrored_slope_mirrors_the_start_line() -> None:
    by = draws(4, 128, 3)
    mirrored = replace(by, start=-by.start)
    left = best_choice(Situation(3, 12, Green(10, 1.5, 90)), club(), by, COSTS)
    right = best_choice(Situation(3, 12, Green(10, 1.5, 270)), club(), mirrored, COSTS)
    assert left.aim_deg == pytest.approx(-right.aim_deg, abs=1e-6)
    assert left.carry_m == pytest.approx(right.carry_m)
    assert left.aim_deg < -1


def test_a_standing_pull_is_aimed_away() -> None:
    by = draws(4, 128, 3)
    flat = Situation(3, 12, FLAT)
    pulled = best_choice(flat, club(start_bias_deg=-3.0), by, COSTS)
    assert pulled.aim_deg == pytest.approx(3.0, abs=1.0)


def test_a_steadier_player_needs_fewer_strokes() -> None:
    wild = plan_shot(SPOT, (club(carry_shot_sd=0.16, start_sd_deg=4),), COSTS).clubs[0]
    calm = plan_shot(SPOT, (club(),), COSTS).clubs[0]
    assert calm.strokes < wild.strokes - 0.05
    assert calm.leave_zone.value > wild.leave_zone.value
    assert calm.up_and_down.value > wild.up_and_down.value


def test_chances_have_an_interval_and_parts_fit() -> None:
    one = plan_shot(SPOT, BAG[:2], COSTS).clubs[0]
    for chance in (one.leave_zone, one.up_and_down):
        assert 0 <= chance.low <= chance.value <= chance.high <= 1
    assert one.land_on_m == pytest.approx(one.carry_m - 3.0)
    assert one.short_of_green < 0.2


def test_a_difference_that_matters_is_clear_and_a_small_one_leans() -> None:
    close = plan_shot(SPOT, (club("SW", 1.0), club("GW", 1.02)), COSTS)
    assert close.state == "leaning"
    apart = plan_shot(SPOT, (club("SW", 1.0), club("7I", 5.0)), COSTS)
    assert apart.state == "clear"
    assert apart.better_by > MATTERS_STROKES
    early = plan_shot(SPOT, (club("SW", too_early="8 of 15 shots"),), COSTS)
    assert (early.state, early.need) == ("too_early", "SW: 8 of 15 shots")


def test_a_club_that_does_not_reach_is_listed_with_the_reason() -> None:
    told = plan_shot(SPOT, (club(), club("LW", 0.4, carry_high_m=2.5)), COSTS)
    assert [left.club for left in told.left_out] == ["LW"]
    assert "1.0 to 2.5 m" in told.left_out[0].reason


@pytest.mark.parametrize(
    ("spot", "fault", "why"),
    [
        (Situation(3, 2, FLAT), BadQuestion, "cannot be"),
        (Situation(-1, 9, FLAT), BadQuestion, "cannot be"),
        (Situation(3, math.nan, FLAT), BadQuestion, "cannot be"),
        (Situation(3, 9, Green(0)), BadQuestion, "green speed of 0 ft"),
        (Situation(3, 9, Green(10, -2)), BadQuestion, "not a green"),
        (Situation(3, 9, Green(14, 5)), OutOfRange, "does not stop"),
        (Situation(40, 60, FLAT), OutOfRange, "No club plays this chip: SW carries"),
    ],
)
def test_impossible_situations_are_refused(spot, fault, why) -> None:
    with pytest.raises(fault, match=why) as caught:
        plan_shot(spot, (club(),), COSTS)
    assert caught.value.mend


def test_stated_adjustments_carry_a_doubt_as_large_as_themselves() -> None:
    up = adjustment(lie_slope_deg=8)
    assert up.factor == 1.0
    assert 0.05 < up.doubt < 0.15
    head, tail = adjustment(tail_wind_mps=-5), adjustment(tail_wind_mps=5)
    assert -0.08 < math.log(head.factor) < -0.02
    assert 0 < math.log(tail.factor) < 0.06
    assert head.doubt == pytest.approx(abs(math.log(head.factor)))
    assert "lie +8°" in up.why
    assert adjustment().factor == 1.0
    with pytest.raises(BadQuestion, match="beyond"):
        adjustment(lie_slope_deg=40)


def test_an_adjustment_widens_the_chances() -> None:
    plain = plan_shot(SPOT, (club(),), COSTS).clubs[0]
    doubted = plan_shot(replace(SPOT, carry_doubt=0.15), (club(),), COSTS).clubs[0]
    assert doubted.strokes > plain.strokes
