"""What a store learnt, as rows and back; spreads of a player's own clubs."""

from dataclasses import replace

import numpy as np
import pyarrow as pa
import pytest

from analytics.carry_curve import carry_curves, curve_stack
from analytics.db import in_memory
from analytics.learnt_populations import KINDS, learnt_populations
from analytics.pooling import Belief, Step, Symmetric, own_steps, step_variances
from analytics.population import ASSUMED
from analytics.population_learning import LEARN_LEAST
from analytics.stored_population import population_row, population_table, stored_population
from schemas.store_paths import coach_group
from tests.analytics.simulated_players import (
    World,
    connection,
    draw_truth,
    hit,
    one_player,
    player_name,
    rows,
    shots_table,
)

UNUSUAL = replace(
    ASSUMED,
    level=0.21,
    exponent=-0.3,
    players=Step(0.01, 0.002),
    shot_sd=0.12,
    mishit_share=0.09,
    n_players=23,
)


def player(coach):
    return {"player_id": player_name(0), "zone": "UTC", "coach": coach}


@pytest.mark.parametrize("coach", [None, "", "Mora", "Zoë Ō'Brien"])
def test_a_population_comes_back_as_it_was_learnt_for_this_coach_only(coach):
    table = population_table({coach_group(coach): [population_row(UNUSUAL, "club", False)]})
    con = in_memory({"population": table, "players": rows("players", player(coach))})
    found = stored_population(con, "club", False)
    assert found is not None
    assert found.version == table["version"][0].as_py()
    again, learnt = (population_row(one, "club", False) for one in (found, UNUSUAL))
    assert again == learnt
    assert stored_population(con, "ball", False) is None
    other = in_memory({"population": table, "players": rows("players", player("another"))})
    assert stored_population(other, "club", False) is None


def test_a_thin_curve_leans_on_it_and_says_so():
    _, _, balls = one_player(n_balls=4)
    table = population_table({coach_group(""): [population_row(UNUSUAL, "club", False)]})
    tables = {"shots": shots_table(balls), "players": rows("players", player(None))}
    (alone,) = carry_curves(in_memory(tables), player_name(0))
    (leaning,) = carry_curves(in_memory(tables | {"population": table}), player_name(0))
    assert leaning.exponent < alone.exponent - 0.15
    assert (alone.n_players, leaning.n_players) == (0, 23)
    assert leaning.fit_version == f"{alone.fit_version}+{table['version'][0].as_py()}"


def test_a_version_stands_for_what_was_learnt():
    def versions(found):
        groups = {"a" * 16: [population_row(found, "club", False)]}
        return pa.Table.to_pylist(population_table(groups))[0]["version"]

    assert versions(UNUSUAL) == versions(replace(UNUSUAL, shot_sd=0.12 * (1 + 1e-13)))
    assert versions(UNUSUAL) != versions(replace(UNUSUAL, shot_sd=0.121))


@pytest.mark.parametrize(("n_players", "taught"), [(LEARN_LEAST - 1, 0), (LEARN_LEAST, 2)])
def test_kinds_of_curve_are_learnt_from_five_players_up(n_players, taught):
    world = World(n_players=n_players, n_clubs=2, n_balls=15)
    balls = hit(world, draw_truth(world), 15, 3, 0)
    found = learnt_populations(connection(balls))
    assert [row["speed_kind"] for row in found] == ["club", "length"][:taught]
    assert len(KINDS) == 7


def test_one_player_of_a_store_gets_what_the_whole_store_gives():
    world = World(n_players=60, n_clubs=2, n_balls=12, exponent=(1.75, 0.05), seed=8)
    balls = hit(world, draw_truth(world), 12, 3, 0)
    con = connection(balls)
    together = curve_stack(con)
    group = {coach_group(""): learnt_populations(connection(balls))}
    mine = shots_table(balls).filter(pa.compute.field("player_id") == player_name(7))
    alone = curve_stack(
        in_memory(
            {
                "shots": mine,
                "population": population_table(group),
                "players": rows("players", player("")),
            }
        ),
        speed_error_sd=0.0,
    )
    where = np.flatnonzero(together.table.player == 7)
    for name in ("level", "exponent"):
        whole, single = (getattr(s.fit.belief, name) for s in (together, alone))
        assert single == pytest.approx(whole[where], abs=0.012)


def test_own_spreads_are_the_players_own_drawn_to_the_usual():
    zero = np.zeros(4)
    cov = Symmetric(np.full(4, 0.001), zero, np.full(4, 0.0005))
    steps = Belief(np.array([0.3, -0.3, 0.02, -0.01]), np.array([0.1, -0.1, 0.0, 0.0]), cov)
    usual = Step(0.01, 0.002)
    owner = np.array([0, 0, 1, 1])
    found = own_steps(steps, usual, 6.0, owner, 2)
    first = Belief(steps.level[:2], steps.exponent[:2], cov.take(np.array([0, 1])))
    by_hand = step_variances(first, usual, 6.0)
    assert np.asarray(found.level)[:2] == pytest.approx([by_hand.level] * 2)
    assert np.asarray(found.exponent)[:2] == pytest.approx([by_hand.exponent] * 2)
    assert np.asarray(found.level)[0] == pytest.approx((6 * 0.01 + 2 * (0.09 + 0.001)) / 8)
    assert np.asarray(found.level)[2] < usual.level
