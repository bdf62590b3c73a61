"""What a curve leans on."""

from datetime import date

import pytest

from analytics.carry_curve import carry_curves
from analytics.curve_ground import curve_grounds
from analytics.db import in_memory
from tests.analytics.simulated_players import one_player, rows, shots_table


@pytest.mark.parametrize("surface", [None, "mat"])
def test_a_curve_says_what_it_leans_on(surface):
    _, _, balls = one_player(n_clubs=3, n_balls=12, n_days=2, mishits=0.0)
    day = {"player_id": "p000000", "day": date(2026, 3, 2), "surface": surface}
    con = in_memory({"shots": shots_table(balls), "sessions": rows("sessions", day)})
    curves = carry_curves(con, "p000000")
    grounds = curve_grounds(con, "p000000", curves)
    assert [one.club for one in grounds] == ["9I", "PW", "SW"]
    assert [one.n_shots for one in grounds] == [curve.n_shots for curve in curves]
    assert {(one.n_other_clubs, one.n_players, one.surface) for one in grounds} == {(2, 0, surface)}
