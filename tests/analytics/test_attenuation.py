"""Speed error flattens a slope by a known ratio, and is taken out when it is known.

Source of the ratio: W. A. Fuller, Measurement Error Models (Wiley 1987), §1.1. Values: speeds
uniform in 8 to 10 m/s, error 3 %, 30 balls: theory 0.82, average fitted exponent 1.57 where the
true one is 1.90.
"""

import numpy as np
import pytest

from analytics.attenuation import correct, repeat_error
from analytics.carry_curve import carry_curves
from analytics.curve_cells import PRIOR_EXPONENT, Cells
from analytics.db import in_memory
from analytics.errors import BadQuestion
from tests.analytics.simulated_players import (
    Balls,
    World,
    connection,
    draw_truth,
    hit,
    one_player,
    paired,
)

BUNCHED = World(
    n_players=1500,
    n_balls=30,
    n_days=1,
    speeds=(8.0, 10.0),
    mishits=0.0,
    speed_noise=0.03,
    exponent=(1.90, 0.0),
)


def test_free_slopes_are_flattened_by_it_and_corrected():
    cells = cells_of(hit(BUNCHED, draw_truth(BUNCHED), 30, 1, 0))

    def mean_slope(these: Cells) -> float:
        return PRIOR_EXPONENT + float(np.mean(these.sxy / these.sxx))

    assert mean_slope(cells) / 1.90 == pytest.approx(0.825, abs=0.015)
    corrected, kept = correct(cells, 0.03, BUNCHED.n_players)
    assert kept.mean() == pytest.approx(0.82, abs=0.03)
    assert mean_slope(corrected) / 1.90 == pytest.approx(1.0, abs=0.03)


def cells_of(balls: Balls) -> Cells:
    """One cell per player, as the SQL would make it without a mishit rule."""
    shape = (BUNCHED.n_players, -1)
    x = np.log(balls.speed_mps / 10).reshape(shape)
    r = np.log(balls.carry_m).reshape(shape) - PRIOR_EXPONENT * x
    dx, dr = x - x.mean(axis=1, keepdims=True), r - r.mean(axis=1, keepdims=True)
    return Cells(
        np.arange(BUNCHED.n_players),
        np.full(BUNCHED.n_players, float(x.shape[1])),
        x.mean(axis=1),
        r.mean(axis=1),
        (dx**2).sum(axis=1),
        (dx * dr).sum(axis=1),
        (dr**2).sum(axis=1),
    )


def test_a_stated_error_is_used_and_said():
    balls = one_player(n_balls=30, speeds=(8.0, 10.0), speed_noise=0.03)[2]
    plain = carry_curves(connection(balls), "p000000")[0]
    corrected = carry_curves(connection(balls), "p000000", speed_error_sd=0.03)[0]
    assert plain.speed_error == "not corrected: the device's repeat error is not known"
    assert corrected.speed_error == "corrected for a stated repeat error of 3.0 %"
    assert corrected.exponent != plain.exponent
    with pytest.raises(BadQuestion, match="2 %"):
        carry_curves(connection(balls), "p000000", speed_error_sd=2.0)


def test_three_instruments_give_the_error_of_one():
    balls = one_player(
        n_balls=400, n_days=8, speeds=(6.0, 12.0), speed_noise=0.0, mishits=0.0, shot_sd=0.04
    )[2]
    rng = np.random.default_rng(1)
    peaks = 1.3 * balls.speed_mps**1.05 * np.exp(rng.normal(0, 0.02, 400))
    balls.speed_mps[:] *= np.exp(rng.normal(0, 0.04, 400))
    found = repeat_error(in_memory(paired(balls, peaks)))
    assert found is not None
    assert found.sd == pytest.approx(0.04, abs=3 * found.standard_error)
    assert found.usable
    curve = carry_curves(in_memory(paired(balls, peaks)), "p000000")[0]
    assert curve.speed_error.startswith("corrected for a repeat error of")


def test_few_strikes_give_no_error():
    balls = one_player(n_balls=5, n_days=1)[2]
    assert repeat_error(in_memory(paired(balls, balls.speed_mps))) is None


def test_an_error_that_is_not_sure_enough_is_not_used_and_said():
    balls = one_player(n_balls=45, n_days=5, speed_noise=0.003, mishits=0.0)[2]
    rng = np.random.default_rng(2)
    con = in_memory(paired(balls, balls.speed_mps * np.exp(rng.normal(0, 0.02, 45))))
    curve = carry_curves(con, "p000000")[0]
    assert curve.speed_error.startswith("not corrected: 45 paired strikes do not tell it")
