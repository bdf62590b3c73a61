"""Robust slope, rising fit and monotone cubic against published values.

Sources: Sen, JASA 63 (1968) 1379, worked example; Barlow et al. (1972), pool adjacent violators;
Fritsch and Carlson, SIAM J. Numerical Analysis 17 (1980) 238, radiochemical data, values by scipy.
"""

import numpy as np
import pytest

from analytics.drawn_curve import bend, drawing, drawn_curve, monotone, rising
from analytics.errors import NothingYet
from analytics.theil_sen import theil_sen
from tests.analytics.simulated_players import connection, one_player


def test_sen_1968():
    x = np.array([1, 2, 3, 4, 10, 12, 18.0])
    y = np.array([9, 15, 19, 20, 45, 55, 78.0])
    found = theil_sen(x, y, 0.93)
    assert found.slope == pytest.approx(4.0, abs=1e-12)
    assert found.level == pytest.approx(4.0, abs=1e-12)
    assert (found.low, found.high) == pytest.approx((26 / 7, 35 / 8), abs=1e-12)
    with pytest.raises(NothingYet):
        theil_sen(np.ones(5), np.arange(5.0))


def test_pool_adjacent_violators():
    y = np.array([1, 3, 2, 4, 3, 5, 7, 6.0])
    assert rising(y, np.ones(8)) == pytest.approx([1, 2.5, 2.5, 3.5, 3.5, 5, 6.5, 6.5])
    weighed = rising(np.array([1, 3, 2, 4.0]), np.array([1, 1, 3, 1.0]))
    assert weighed == pytest.approx([1, 2.25, 2.25, 4])


def test_fritsch_and_carlson():
    x = np.array([7.99, 8.09, 8.19, 8.7, 9.2, 10, 12, 15, 20])
    y = np.array(
        [0, 2.76429e-5, 0.0437498, 0.169183, 0.469428, 0.943740, 0.998636, 0.999919, 0.999994]
    )
    found = monotone(x, y, np.array([9.5, 11, 17]))
    assert found == pytest.approx([0.6852179451, 0.9860433625, 0.9999680258], abs=1e-9)
    assert np.all(np.diff(monotone(x, y, np.linspace(8, 20, 500))) >= 0)


def test_a_drawing_rises_and_stays_within_the_balls():
    balls = one_player(n_balls=60, mishits=0.0)[2]
    found = drawn_curve(balls.speed_mps, balls.carry_m)
    assert np.all(np.diff(found.carry_m) >= 0)
    assert found.speed_mps[0] >= balls.speed_mps.min()
    assert found.speed_mps[-1] <= balls.speed_mps.max()
    with pytest.raises(NothingYet, match="29 of 30"):
        drawn_curve(balls.speed_mps[:29], balls.carry_m[:29])


def test_a_bend_is_told_only_where_there_is_one():
    straight = one_player(n_balls=80, n_days=1, mishits=0.0, day_sd=0.0)[2]
    bent = one_player(n_balls=80, n_days=1, mishits=0.0, day_sd=0.0, curvature=0.5)[2]
    assert not bend(straight.speed_mps, straight.carry_m).told
    assert bend(bent.speed_mps, bent.carry_m).value > 0
    assert bend(bent.speed_mps, bent.carry_m).told


def test_the_drawing_leaves_mishits_out():
    balls = one_player(n_balls=60, mishits=0.0, shot_sd=0.03)[2]
    balls.carry_m[10] *= 0.4
    found, _ = drawing(connection(balls), "p000000", "SW")
    assert found.n_balls == 59
