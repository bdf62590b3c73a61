"""Rows of carry curves against the same sums taken ball by ball."""

import numpy as np
import pyarrow as pa
import pytest

from analytics import curve_rows as module
from analytics.carry_curve import ASSUMED_BY_KIND, judged_rows
from analytics.curve_cells import PRIOR_EXPONENT
from analytics.db import in_memory
from analytics.mishits import CUT
from tests.analytics.simulated_players import (
    DAY_ONE,
    World,
    draw_truth,
    hit,
    player_name,
    rows,
    shots_table,
)

SPREAD = 0.07


def book(n_players: int = 3, n_balls: int = 25):
    """Players with two clubs and some balls that the coach spoke of."""
    world = World(n_players=n_players, n_clubs=2, n_balls=n_balls, n_days=3, mishits=0.15, seed=3)
    balls = hit(world, draw_truth(world), n_balls, 3, 0)
    said = {i: "mishit" if i % 2 else "clean" for i in range(0, len(balls.player), 7)}
    edits = [
        {
            "player_id": player_name(balls.player[i]),
            "event_id": f"x{i}",
            "target": "shots",
            "target_id": f"e{i:08d}",
            "action": action,
            "edited_at_utc": DAY_ONE,
        }
        for i, action in said.items()
    ]
    loft = [None if i % 5 else 50.0 + balls.day[i] for i in range(len(balls.player))]
    table = shots_table(balls, loft_deg=loft)
    return balls, said, in_memory({"shots": table, "edits": rows("edits", *edits)})


def by_hand(balls, said):
    """Moments of every cell from the definition, one ball at a time."""
    x = np.log(balls.speed_mps / 10)
    r = np.log(balls.carry_m) - PRIOR_EXPONENT * x
    what = np.array([said.get(i, "") for i in range(len(x))])
    found = {}
    for player, club in sorted(set(zip(balls.player, balls.club, strict=True))):
        mine = (balls.player == player) & (balls.club == club)
        heard = r[mine & (what != "mishit")]
        middle, upper = np.quantile(heard, [0.5, 0.75])
        own = ((upper - middle) / 0.6745) ** 2
        reach = CUT * np.sqrt((6 * SPREAD**2 + len(heard) * own) / (6 + len(heard)))
        clean = (what == "clean") | ((what == "") & (abs(r - middle) <= reach))
        for day in range(3):
            here = mine & (balls.day == day)
            good, bad = here & clean, here & ~clean
            found[player, club, day] = {
                "n": good.sum(),
                "mean_x": x[good].mean(),
                "mean_r": r[good].mean(),
                "var_x": x[good].var(),
                "cov_xr": np.cov(x[good], r[good], ddof=0)[0, 1],
                "var_r": r[good].var(),
                "x_low": x[good].min(),
                "x_high": x[good].max(),
                "n_coach": (here & (what == "mishit")).sum(),
                "n_rule": (bad & (what != "mishit")).sum(),
                "off_mean": (r[bad] - middle).mean() if bad.any() else np.nan,
                "off_variance": (r[bad] - middle).var() if bad.any() else np.nan,
            }
    return found


@pytest.mark.parametrize("piece", [1, 10, 100_000])
def test_moments_are_those_of_the_balls_one_by_one(monkeypatch, piece):
    monkeypatch.setattr(module, "PIECE", piece)
    balls, said, con = book()
    usual = ASSUMED_BY_KIND["club"]
    monkeypatch.setattr(type(usual), "day_ratio", 0.0)
    found = judged_rows(con, "club", False, usual).to_pylist()
    expected = by_hand(balls, said)
    assert len(found) == len(expected) == 3 * 2 * 3
    assert sum(row["n_rule"] for row in found) > 0
    clubs = {"SW": 0, "PW": 1}
    for row in found:
        day = int(row["session_id"][-2:]) - DAY_ONE.day
        cell = expected[int(row["player_id"][1:]), clubs[row["club"]], day]
        for name, value in cell.items():
            assert row[name] == pytest.approx(value, abs=1e-12, nan_ok=True), name


def test_a_cell_keeps_the_highest_loft_of_its_balls():
    found = judged_rows(book()[2], "club", False, ASSUMED_BY_KIND["club"]).to_pylist()
    for row in found:
        assert row["loft_deg"] == 50.0 + int(row["session_id"][-2:]) - DAY_ONE.day


def test_all_balls_called_mishits_leave_a_row_without_moments():
    balls, _, _ = book(1, 4)
    edits = [
        {
            "player_id": player_name(0),
            "event_id": f"x{i}",
            "target": "shots",
            "target_id": f"e{i:08d}",
            "action": "mishit",
            "edited_at_utc": DAY_ONE,
        }
        for i in range(len(balls.player))
    ]
    con = in_memory({"shots": shots_table(balls), "edits": rows("edits", *edits)})
    for row in judged_rows(con, "club", False, ASSUMED_BY_KIND["club"]).to_pylist():
        assert (row["n"], row["n_rule"]) == (0, 0)
        assert row["n_coach"] > 0
        assert np.isnan(row["mean_r"])
        assert np.isnan(row["x_low"])


def test_no_balls_make_no_rows():
    found = judged_rows(in_memory({}), "club", True, ASSUMED_BY_KIND["club"])
    assert found.num_rows == 0
    assert set(module.KEYS) | set(module.MOMENTS) < set(found.column_names)
    assert isinstance(found, pa.Table)
