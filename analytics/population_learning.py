"""The population that a store's players show, from their curves' cells.

Rules
-----
1. Fewer than LEARN_LEAST players with clean balls teach nothing: from so few, one could be read.
2. At most LEARN_FROM players are asked, spread over all; more would change nothing that is seen.
"""

from dataclasses import replace

import numpy as np

from analytics.curve_cells import Cells, IntArray, Tree
from analytics.curve_fit import learn
from analytics.curve_table import CurveTable
from analytics.population import Population

LEARN_FROM = 500
LEARN_LEAST = 5


def players_to_learn_from(table: CurveTable) -> int:
    """Players with at least one clean ball."""
    return len(np.unique(table.player[table.n > 0]))


def learn_population(table: CurveTable, assumed: Population) -> Population:
    """The population a store shows, from at most LEARN_FROM players spread over all of them."""
    step = max(1, len(table.players) // LEARN_FROM)
    cells, tree = _some_players(table.cells, table.tree, step)
    learnt = learn(cells, tree, assumed)
    marked = float((table.n_coach + table.n_rule).sum())
    balls = float(table.n.sum()) + marked
    worth = assumed.mishit_worth
    share = (worth * assumed.mishit_share + marked) / (worth + balls)
    return replace(learnt, mishit_share=share)


def _some_players(cells: Cells, tree: Tree, step: int) -> tuple[Cells, Tree]:
    """Every step-th player with all curves, renumbered from 0."""
    if step == 1:
        return cells, tree
    club_kept = tree.player_of_club % step == 0
    curve_kept = club_kept[tree.club_of_curve]
    new_club, new_curve = _renumber(club_kept), _renumber(curve_kept)
    kept = curve_kept[cells.curve]
    some = Cells(
        new_curve[cells.curve[kept]],
        *(part[kept] for part in cells.sums),
    )
    players = tree.player_of_club[club_kept] // step
    clubs = new_club[tree.club_of_curve[curve_kept]]
    return some, Tree(clubs, players, (tree.n_players - 1) // step + 1, tree.split)


def _renumber(kept: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> IntArray:
    return np.asarray(np.cumsum(kept) - 1, dtype=np.intp)
