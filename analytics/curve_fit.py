"""Carry curves of any number of players at once, from cells, in closed form.

Model: ln carry = level + exponent·ln(speed) + day + shot for each curve (player × club, or
player × club × swing length); level and exponent pooled over the tree of `pooling`, as far apart as
the player's own clubs and swing lengths show, drawn to the population; shot-to-shot variance drawn
to the player's other clubs and the population; day-to-day variance weighed on a grid per player.
Three rounds over the whole stack settle variances and curves on each other; the first one weighs
the days.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from analytics.curve_cells import Cells, FloatArray, IntArray, Tree, total
from analytics.day_share import day_evidence
from analytics.mishits import core_variance_kept
from analytics.pooling import (
    Belief,
    Evidence,
    Step,
    Symmetric,
    lift,
    own_steps,
    root_belief,
    settle,
    step_variances,
    take,
)
from analytics.population import ASSUMED, DAY_RATIOS, WORTH, Population, pool_variances

ROUNDS = 3
KEPT = core_variance_kept()
LEARN_ROUNDS = 40
OTHERS_WORTH = 0.3
"""Part of the other clubs' degrees of freedom that counts for a club's shot-to-shot spread."""
OTHERS_MOST = 12.0


@dataclass(frozen=True)
class CurveFit:
    """Fit of a stack of curves; arrays shape (n curves,).

    belief: departure of level (ln m at 10 m/s) and exponent from the prior curve.
    shot_variance, dof: shot-to-shot variance of ln carry and its degrees of freedom.
    own_variance, own_dof: the same from the curve's own balls alone, before pooling.
    day_ratio: day-to-day over shot-to-shot variance; day_evidence: by DAY_RATIOS, shape (n, r).
    clubs, club_steps, player_steps, length_steps, root: beliefs by node, for learning.
    """

    belief: Belief
    shot_variance: FloatArray
    dof: FloatArray
    own_variance: FloatArray
    own_dof: FloatArray
    day_ratio: FloatArray
    day_posterior: FloatArray
    steps: tuple[Belief, Belief, Belief | None]
    root: Belief


def fit(
    cells: Cells, tree: Tree, population: Population = ASSUMED, *, own_spread: bool = True
) -> CurveFit:
    """Curves from cells; a curve without a cell gets what the rest of the tree says of it.

    Args:
        cells: sufficient statistics of the clean balls.
        tree: which curve belongs to which club and player.
        population: what is known of players beforehand.
        own_spread: whether each player's clubs say how far apart they are, beside the population.
    """
    n = len(tree.club_of_curve)
    variance = np.full(n, population.shot_sd**2)
    ratio = np.full(n, population.day_ratio)
    apart = population.clubs, population.lengths
    for turn in range(ROUNDS):
        evidence = _evidence(cells, variance, ratio, n)
        belief, steps, root = _pool(evidence, tree, population, *apart)
        if own_spread:
            apart = _own_spread(steps, tree, population)
        square, own_dof = _squares(cells, belief, evidence, ratio)
        variance, dof = _shot_variance(square, own_dof, tree, population)
        if turn == 0:
            posterior = _day_posterior(cells, belief, tree, population)
            ratio = posterior @ DAY_RATIOS
    own = square / np.maximum(own_dof, 1e-9)
    return CurveFit(belief, variance, dof, own, own_dof, ratio, posterior, steps, root)


def learn(cells: Cells, tree: Tree, assumed: Population = ASSUMED) -> Population:
    """The population of a store: means and variances its players show, by expectation-maximisation.

    Args:
        cells, tree: of all players (a few hundred are plenty; more only cost time).
        assumed: counts like WORTH further players.
    """
    population = assumed
    for _ in range(LEARN_ROUNDS):
        done = fit(cells, tree, population, own_spread=False)
        sd, dof = pool_variances(done.own_variance, done.own_dof, assumed)
        players, clubs, lengths = done.steps
        weights = done.day_posterior.sum(axis=0) + WORTH * assumed.day_weights
        following = replace(
            population,
            players=step_variances(players, assumed.players, WORTH),
            clubs=step_variances(clubs, assumed.clubs, WORTH),
            lengths=population.lengths
            if lengths is None
            else step_variances(lengths, assumed.lengths, WORTH),
            shot_sd=sd,
            shot_dof=dof,
            day_weights=weights / weights.sum(),
        )
        moved = abs(np.log(following.players.level / population.players.level))
        moved += abs(np.log(following.clubs.level / population.clubs.level))
        moved += abs(np.log(following.shot_sd / population.shot_sd))
        population = following
        if moved < 0.005:
            break
    done = fit(cells, tree, population, own_spread=False)
    return replace(
        population,
        level=float(done.root.level[0]),
        exponent=float(done.root.exponent[0]),
        root=Step(float(done.root.covariance.aa[0]), float(done.root.covariance.bb[0])),
        n_players=tree.n_players,
    )


def _evidence(cells: Cells, variance: FloatArray, ratio: FloatArray, n: int) -> Evidence:
    shot = variance[cells.curve]
    weight = cells.n / (1 + cells.n * ratio[cells.curve]) / shot
    weighted_x = weight * cells.mean_x
    parts = (
        weight,
        weighted_x,
        weighted_x * cells.mean_x + cells.sxx / shot,
        weight * cells.mean_y,
        weighted_x * cells.mean_y + cells.sxy / shot,
    )
    aa, ab, bb, level, exponent = (total(part, cells.curve, n) for part in parts)
    return Evidence(Symmetric(aa, ab, bb), level, exponent)


def _own_spread(
    steps: tuple[Belief, Belief, Belief | None], tree: Tree, population: Population
) -> tuple[Step, Step]:
    """Step variances of each club and each swing length as the player's own show them."""
    _, clubs, lengths = steps
    n_players, of_club = tree.n_players, tree.player_of_club
    own_clubs = own_steps(clubs, population.clubs, WORTH, of_club, n_players)
    if lengths is None:
        return own_clubs, population.lengths
    of_curve = tree.player_of_curve
    return own_clubs, own_steps(lengths, population.lengths, WORTH, of_curve, n_players)


def _pool(
    evidence: Evidence, tree: Tree, population: Population, club_step: Step, length_step: Step
) -> tuple[Belief, tuple[Belief, Belief, Belief | None], Belief]:
    clubs = evidence
    if tree.split:
        n_clubs = len(tree.player_of_club)
        clubs = lift(evidence, length_step).total_by(tree.club_of_curve, n_clubs)
    players = lift(clubs, club_step).total_by(tree.player_of_club, tree.n_players)
    everyone = np.zeros(tree.n_players, dtype=np.intp)
    all_evidence = lift(players, population.players).total_by(everyone, 1)
    root = root_belief(all_evidence, population.level, population.exponent, population.root)
    player, player_steps = settle(players, population.players, take(root, everyone))
    club, club_steps = settle(clubs, club_step, take(player, tree.player_of_club))
    if not tree.split:
        return club, (player_steps, club_steps, None), root
    length, length_steps = settle(evidence, length_step, take(club, tree.club_of_curve))
    return length, (player_steps, club_steps, length_steps), root


def _squares(
    cells: Cells, belief: Belief, evidence: Evidence, ratio: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Residual sum of squares of each curve, and the degrees of freedom it has left."""
    n = len(ratio)
    a, b = belief.level[cells.curve], belief.exponent[cells.curve]
    weight = cells.n / (1 + cells.n * ratio[cells.curve])
    between = weight * (cells.mean_y - a - b * cells.mean_x) ** 2
    within = cells.syy - 2 * b * cells.sxy + b**2 * cells.sxx
    square = total(within + between, cells.curve, n) / KEPT
    used = evidence.precision.aa * belief.covariance.aa
    used += 2 * evidence.precision.ab * belief.covariance.ab
    used += evidence.precision.bb * belief.covariance.bb
    return square, np.maximum(total(cells.n, cells.curve, n) - used, 0.0)


def _shot_variance(
    square: FloatArray, own_dof: FloatArray, tree: Tree, population: Population
) -> tuple[FloatArray, FloatArray]:
    """Shot-to-shot variance by curve: its own, the other curves' and the population's weighed."""
    player = tree.player_of_curve
    others = total(square, player, tree.n_players)[player] - square
    others_dof = total(own_dof, player, tree.n_players)[player] - own_dof
    counted = np.minimum(OTHERS_WORTH * others_dof, OTHERS_MOST)
    others_variance = others / np.maximum(others_dof, 1e-9)
    dof = population.shot_dof + counted + own_dof
    weighted = population.shot_dof * population.shot_sd**2 + counted * others_variance + square
    return weighted / dof, dof


def _day_posterior(cells: Cells, belief: Belief, tree: Tree, population: Population) -> FloatArray:
    """Probability of each of DAY_RATIOS by curve: one player's curves share it."""
    n = len(belief.level)
    variance = np.full(n, population.shot_sd**2)
    dof = np.full(n, population.shot_dof)
    evidence = day_evidence(cells, belief.exponent, variance, dof, DAY_RATIOS)
    by_player = _sum_rows(evidence, tree.player_of_curve, tree.n_players)
    weighed = by_player + np.log(population.day_weights)
    weighed = np.exp(weighed - weighed.max(axis=1, keepdims=True))
    return np.asarray((weighed / weighed.sum(axis=1, keepdims=True))[tree.player_of_curve])


def _sum_rows(values: NDArray[np.float64], index: IntArray, size: int) -> FloatArray:
    return np.stack([total(column, index, size) for column in values.T], axis=1)
