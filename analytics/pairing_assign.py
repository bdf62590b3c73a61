"""Each shot at most one swing, each swing at most one shot: the likeliest set of pairs.

Shots and swings that compete are few and fall apart into small groups; each group is solved
exactly by linear assignment over the match probabilities.
"""

import numpy as np
from scipy.optimize import linear_sum_assignment
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from analytics.pairing_logs import Floats, Ints

WORTH = 0.02


def assign(near: Ints, chance: Floats, swings: int) -> tuple[Ints, Floats]:
    """The set of pairs with the highest sum of chances.

    Args:
        near: swing of each possible pair, shape (n, k).
        chance: its probability, shape (n, k); below 0.02 it is no possible pair.
        swings: number of swings.

    Returns:
        Swing of each shot (−1 for none) and the chance of that pair, shape (n,) each.
    """
    n = len(near)
    shot, place = np.nonzero(chance > WORTH)
    swing, value = near[shot, place], chance[shot, place]
    swing_of, chance_of = np.full(n, -1), np.zeros(n)
    if not len(shot):
        return swing_of, chance_of
    graph = coo_array((np.ones(len(shot)), (shot, n + swing)), shape=(n + swings,) * 2)
    group = connected_components(graph, directed=False)[1][shot]
    for members in np.split(
        np.argsort(group, kind="stable"), np.flatnonzero(np.diff(np.sort(group))) + 1
    ):
        rows, row_at = np.unique(shot[members], return_inverse=True)
        columns, column_at = np.unique(swing[members], return_inverse=True)
        table = np.zeros((len(rows), len(columns)))
        np.maximum.at(table, (row_at, column_at), value[members])
        for r, c in zip(*linear_sum_assignment(table, maximize=True), strict=True):
            if table[r, c] > 0:
                swing_of[rows[r]], chance_of[rows[r]] = columns[c], table[r, c]
    return swing_of, chance_of
