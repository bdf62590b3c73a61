"""The sensor's scale through paired strikes, and what a swing without a ball would have carried."""

import math

import numpy as np
import pytest

from analytics.carry_curve import carry_curve, carry_curves
from analytics.db import in_memory
from analytics.errors import BadQuestion, NothingYet
from analytics.sensor_scale import predict_carry, scale_for, sensor_scales
from tests.analytics.simulated_players import World, draw_truth, hit, one_player, paired

SCALE = 1.31


def seen_by_both(noise=0.02, **changes):
    given = {"n_balls": 40, "n_days": 4, "mishits": 0.0, "speed_noise": 0.0} | changes
    _, truth, balls = one_player(**given)
    rng = np.random.default_rng(3)
    peaks = SCALE * balls.speed_mps * np.exp(rng.normal(0, noise, len(balls.speed_mps)))
    return truth, balls, in_memory(paired(balls, peaks))


def test_the_scale_is_found_from_paired_strikes():
    _, _, con = seen_by_both()
    scale = sensor_scales(con, "p000000")["SW"]
    assert scale.club_speed(SCALE * 9.0) == pytest.approx(9.0, rel=0.02)
    assert scale.swing_sd == pytest.approx(0.02, abs=0.007)
    assert (scale.n_strikes, scale.n_sessions) == (40, 4)


def test_a_rehearsal_is_given_the_carry_it_would_have_had():
    truth, _, con = seen_by_both()
    curve = carry_curve(con, "p000000", "SW")
    found = predict_carry(sensor_scales(con, "p000000")["SW"], curve, SCALE * 9.0)
    true = truth.level[0, 0] + truth.exponent[0, 0] * math.log(0.9)
    assert abs(found.mean - true) < 3 * found.sd
    assert found.club_speed_mps == pytest.approx(9.0, rel=0.02)
    assert found.in_range
    assert found.own_sd < 0.06
    assert found.sd == pytest.approx(math.hypot(found.shared_sd, found.own_sd))


def test_nine_in_ten_predicted_carries_hold_the_truth():
    world = World(n_players=150, n_balls=12, n_days=2, mishits=0.0, speed_noise=0.01, seed=11)
    truth = draw_truth(world)
    rng = np.random.default_rng(5)
    inside = []
    balls = hit(world, truth, 12, 2, 0)
    own = rng.normal(math.log(1.2), 0.1, world.n_players)
    day = rng.normal(0, 0.015, (world.n_players, 2))
    peaks = balls.speed_mps * np.exp(
        own[balls.player] + day[balls.player, balls.day] + rng.normal(0, 0.03, len(balls.player))
    )
    con = in_memory(paired(balls, peaks))
    curves = {p: carry_curves_of(con, p) for p in range(0, world.n_players, 5)}
    for player, curve in curves.items():
        scale = sensor_scales(con, f"p{player:06d}")["SW"]
        for _ in range(8):
            speed = rng.uniform(6, 12)
            peak = speed * np.exp(own[player] + rng.normal(0, 0.015) + rng.normal(0, 0.03))
            found = predict_carry(scale, curve, peak)
            true = truth.level[player, 0] + truth.exponent[player, 0] * math.log(speed / 10)
            day_shift = rng.normal(0, truth.day_sd[player])
            inside.append(abs(true + day_shift - found.mean) < 1.645 * found.sd)
    assert 0.84 <= np.mean(inside) <= 0.97


def carry_curves_of(con, player):
    return carry_curves(con, f"p{player:06d}")[0]


def test_a_wrong_pair_does_not_move_the_scale():
    _, balls, _ = seen_by_both()
    peaks = SCALE * balls.speed_mps
    peaks[[3, 20]] *= [0.5, 1.9]
    scale = sensor_scales(in_memory(paired(balls, peaks)), "p000000")["SW"]
    assert scale.n_strikes == 38
    assert scale.club_speed(SCALE * 9.0) == pytest.approx(9.0, rel=0.01)


def test_a_club_without_pairs_borrows_a_scale_and_is_less_sure():
    _, _, con = seen_by_both()
    scales = sensor_scales(con, "p000000")
    borrowed = scale_for(scales, "LW")
    assert scale_for(scales, "SW") is scales["SW"]
    assert borrowed.line.level_variance > scales["SW"].line.level_variance
    with pytest.raises(NothingYet, match="Mend"):
        scale_for({}, "SW")


def test_no_speed_no_carry():
    _, _, con = seen_by_both()
    curve = carry_curve(con, "p000000", "SW")
    with pytest.raises(BadQuestion):
        predict_carry(sensor_scales(con, "p000000")["SW"], curve, 0.0)


def test_the_sensor_has_a_curve_of_its_own():
    _, _, con = seen_by_both()
    own = carry_curve(con, "p000000", "SW", "sensor")
    club = carry_curve(con, "p000000", "SW", "club")
    assert own.carry(SCALE * 9).value == pytest.approx(club.carry(9.0).value, rel=0.04)
    assert own.shot_sd > 0.9 * club.shot_sd
