"""Partial pooling of two numbers (level, exponent) over a tree, exactly and in closed form.

Rules
-----
1. A node's pair differs from its parent's by a normal step with a diagonal variance; the root has
   a normal prior. Players hang on the population, clubs on players, swing lengths on clubs.
2. Evidence moves up the tree (`lift`), belief moves down (`settle`): two passes of 2x2 algebra
   over whole levels at once give the same posterior as the joint normal model of every node.
3. A step variance may be 0: then child and parent are one.
4. Step variances can be estimated (`step_variances`, and `own_steps` for each parent by itself) by
   expectation-maximisation; its prior says how many children the assumed variance is worth, so
   that two clubs never decide alone.

Source: Gaussian belief propagation on a tree; for the variances Dempster, Laird and Rubin, JRSS B
39 (1977) 1, with an inverse-gamma prior.
"""

from dataclasses import dataclass
from typing import Self

import numpy as np

from analytics.curve_cells import FloatArray, IntArray, total


@dataclass(frozen=True)
class Symmetric:
    """A stack of symmetric 2x2 matrices, shape (n,) each: [[aa, ab], [ab, bb]]."""

    aa: FloatArray
    ab: FloatArray
    bb: FloatArray

    @property
    def parts(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """The three different entries."""
        return self.aa, self.ab, self.bb

    def take(self, index: IntArray) -> Self:
        """The matrices at `index`."""
        return type(self)(self.aa[index], self.ab[index], self.bb[index])

    def total_by(self, parent: IntArray, size: int) -> Self:
        """Sums of the matrices with the same parent, shape (size,)."""
        return type(self)(*(total(part, parent, size) for part in (self.aa, self.ab, self.bb)))


@dataclass(frozen=True)
class Evidence:
    """What data say of each node: precision matrix and precision-weighted mean (pull)."""

    precision: Symmetric
    pull_level: FloatArray
    pull_exponent: FloatArray

    def total_by(self, parent: IntArray, size: int) -> Self:
        """Evidence of all children of each parent together."""
        return type(self)(
            self.precision.total_by(parent, size),
            total(self.pull_level, parent, size),
            total(self.pull_exponent, parent, size),
        )


@dataclass(frozen=True)
class Belief:
    """Posterior of each node: mean of level and exponent, and their covariance."""

    level: FloatArray
    exponent: FloatArray
    covariance: Symmetric


@dataclass(frozen=True)
class Step:
    """Variance of the step from parent to child, for level and exponent.

    A number each where all children share it, else one entry per child, shape (n,).
    """

    level: float | FloatArray
    exponent: float | FloatArray


def lift(evidence: Evidence, step: Step) -> Evidence:
    """What the evidence on children says of their parents, one entry per child."""
    lam = evidence.precision
    determinant = lam.aa * lam.bb - lam.ab**2
    divisor = _divisor(lam, step, determinant)
    precision = Symmetric(
        (lam.aa + step.exponent * determinant) / divisor,
        lam.ab / divisor,
        (lam.bb + step.level * determinant) / divisor,
    )
    pull_level = (1 + step.exponent * lam.bb) * evidence.pull_level
    pull_level -= step.exponent * lam.ab * evidence.pull_exponent
    pull_exponent = (1 + step.level * lam.aa) * evidence.pull_exponent
    pull_exponent -= step.level * lam.ab * evidence.pull_level
    return Evidence(precision, pull_level / divisor, pull_exponent / divisor)


def settle(evidence: Evidence, step: Step, parent: Belief) -> tuple[Belief, Belief]:
    """Belief about children from their own evidence and their parents' belief.

    Args:
        evidence: on each child, shape (n,).
        step: variance from parent to child.
        parent: belief about the parent of each child, shape (n,), already of all evidence.

    Returns: (belief about the children, belief about their steps away from the parent).
    """
    lam = evidence.precision
    divisor = _divisor(lam, step, lam.aa * lam.bb - lam.ab**2)
    j_ll = (1 + step.exponent * lam.bb) / divisor
    j_le = -step.level * lam.ab / divisor
    j_el = -step.exponent * lam.ab / divisor
    j_ee = (1 + step.level * lam.aa) / divisor
    own = Symmetric(step.level * j_ll, step.exponent * j_le, step.exponent * j_ee)
    level = j_ll * parent.level + j_le * parent.exponent
    level += own.aa * evidence.pull_level + own.ab * evidence.pull_exponent
    exponent = j_el * parent.level + j_ee * parent.exponent
    exponent += own.ab * evidence.pull_level + own.bb * evidence.pull_exponent
    children = Belief(level, exponent, _carried(own, (j_ll, j_le, j_el, j_ee), parent.covariance))
    steps = Belief(
        level - parent.level,
        exponent - parent.exponent,
        _carried(own, (j_ll - 1, j_le, j_el, j_ee - 1), parent.covariance),
    )
    return children, steps


def root_belief(evidence: Evidence, level: float, exponent: float, prior: Step) -> Belief:
    """Belief about the one root from all evidence and its prior N((level, exponent), prior)."""
    nothing = np.zeros(1)
    told = Belief(np.full(1, level), np.full(1, exponent), Symmetric(nothing, nothing, nothing))
    root, _ = settle(evidence, prior, told)
    return root


def take(belief: Belief, index: IntArray) -> Belief:
    """The belief about the nodes at `index`."""
    return Belief(belief.level[index], belief.exponent[index], belief.covariance.take(index))


def own_steps(steps: Belief, usual: Step, worth: float, owner: IntArray, size: int) -> Step:
    """Next estimate of each owner's own step variances, one entry per step.

    Args:
        steps: posterior of each step, shape (n,).
        usual: the variances of all owners; worth: how many steps they are worth.
        owner: whose step each is, 0 to size - 1, shape (n,).
    """
    counted = worth + total(np.ones(len(owner)), owner, size)
    level = total(steps.level**2 + steps.covariance.aa, owner, size)
    exponent = total(steps.exponent**2 + steps.covariance.bb, owner, size)
    return Step(
        ((worth * usual.level + level) / counted)[owner],
        ((worth * usual.exponent + exponent) / counted)[owner],
    )


def step_variances(steps: Belief, assumed: Step, worth: float) -> Step:
    """Next estimate of a step's variances from the belief about the steps.

    Args:
        steps: posterior of each step (second result of `settle`), shape (n,).
        assumed: the variances assumed before data.
        worth: how many steps the assumption is worth; 0 trusts the data alone.
    """
    n = len(steps.level)
    level = float(np.sum(steps.level**2 + steps.covariance.aa))
    exponent = float(np.sum(steps.exponent**2 + steps.covariance.bb))
    return Step(
        (worth * assumed.level + level) / (worth + n),
        (worth * assumed.exponent + exponent) / (worth + n),
    )


def _divisor(lam: Symmetric, step: Step, determinant: FloatArray) -> FloatArray:
    return (
        1 + step.level * lam.aa + step.exponent * lam.bb + step.level * step.exponent * determinant
    )


def _carried(
    own: Symmetric,
    jacobian: tuple[FloatArray, FloatArray, FloatArray, FloatArray],
    outer: Symmetric,
) -> Symmetric:
    """own + J outer J', the covariance a child takes over from its parent."""
    j_ll, j_le, j_el, j_ee = jacobian
    ll = j_ll * outer.aa + j_le * outer.ab
    le = j_ll * outer.ab + j_le * outer.bb
    el = j_el * outer.aa + j_ee * outer.ab
    ee = j_el * outer.ab + j_ee * outer.bb
    return Symmetric(
        own.aa + ll * j_ll + le * j_le,
        own.ab + ll * j_el + le * j_ee,
        own.bb + el * j_el + ee * j_ee,
    )
