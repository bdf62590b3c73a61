"""The pooling under carry curves against published examples and against the joint normal model.

Sources: Rail: Pinheiro and Bates, Mixed-Effects Models in S and S-PLUS (2000); eight schools:
Rubin, Journal of Educational Statistics 6 (1981) 377.
"""

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analytics.pooling import (
    Evidence,
    Step,
    Symmetric,
    lift,
    root_belief,
    settle,
    step_variances,
    take,
)

DATA = Path(__file__).parent / "check_data"
WIDE = Step(1e12, 0.0)


def levels_only(values, variances):
    """Evidence on levels alone: no word on the exponent."""
    precision = 1 / np.asarray(variances, float)
    nothing = np.zeros(len(precision))
    return Evidence(
        Symmetric(precision, nothing, nothing), precision * np.asarray(values, float), nothing
    )


def pooled(evidence, step):
    everyone = np.zeros(len(evidence.pull_level), dtype=np.intp)
    root = root_belief(lift(evidence, step).total_by(everyone, 1), 0.0, 0.0, WIDE)
    return root, *settle(evidence, step, take(root, everyone))


def test_rail_by_expectation_maximisation():
    with (DATA / "nlme_rail.csv").open() as file:
        rows = [(row["Rail"], float(row["travel"])) for row in csv.DictReader(file)]
    rails = sorted({rail for rail, _ in rows})
    means = [np.mean([y for rail, y in rows if rail == r]) for r in rails]
    evidence = levels_only(means, np.full(6, 4.020779**2 / 3))
    step = Step(100.0, 0.0)
    for _ in range(400):
        root, _, steps = pooled(evidence, step)
        step = step_variances(steps, step, 0.0)
    assert step.level**0.5 == pytest.approx(24.80547, rel=2e-4)
    assert root.level[0] == pytest.approx(66.5, abs=1e-6)


def test_eight_schools_without_difference_between_them():
    effect = [28, 8, -3, 7, -1, 1, 18, 12]
    error = np.array([15, 10, 16, 11, 9, 11, 10, 18.0])
    root, schools, _ = pooled(levels_only(effect, error**2), Step(0.0, 0.0))
    assert root.level[0] == pytest.approx(7.685617, abs=1e-5)
    assert root.covariance.aa[0] ** 0.5 == pytest.approx(4.071919, abs=1e-5)
    assert schools.level == pytest.approx(np.full(8, 7.685617), abs=1e-5)


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10_000), n=st.integers(1, 5))
def test_two_passes_equal_the_joint_normal_model(seed, n):
    """Root and n children as one normal vector of 2 + 2n numbers, solved outright."""
    rng = np.random.default_rng(seed)
    step, prior = Step(*rng.uniform(0.01, 2, 2)), Step(*rng.uniform(0.1, 3, 2))
    xs = [rng.normal(0, 1, rng.integers(1, 5)) for _ in range(n)]
    precisions = [np.array([[len(x), x.sum()], [x.sum(), (x**2).sum()]]) for x in xs]
    pulls = [rng.normal(0, 1, 2) for _ in range(n)]
    evidence = Evidence(
        Symmetric(*(np.array([p[i] for p in precisions]) for i in ((0, 0), (0, 1), (1, 1)))),
        np.array([p[0] for p in pulls]),
        np.array([p[1] for p in pulls]),
    )
    everyone = np.zeros(n, dtype=np.intp)
    root = root_belief(lift(evidence, step).total_by(everyone, 1), 0.3, -0.2, prior)
    children, steps = settle(evidence, step, take(root, everyone))

    tie = np.diag([1 / step.level, 1 / step.exponent])
    top = np.diag([1 / prior.level, 1 / prior.exponent])
    joint = np.zeros((2 + 2 * n, 2 + 2 * n))
    joint[:2, :2] = top + n * tie
    right = np.concatenate([top @ [0.3, -0.2], *pulls])
    for k in range(n):
        own = slice(2 + 2 * k, 4 + 2 * k)
        joint[own, own] = precisions[k] + tie
        joint[:2, own] = joint[own, :2] = -tie
    covariance = np.linalg.inv(joint)
    mean = covariance @ right
    assert root.level[0] == pytest.approx(mean[0])
    assert root.exponent[0] == pytest.approx(mean[1])
    for k in range(n):
        at = 2 + 2 * k
        assert children.level[k] == pytest.approx(mean[at])
        assert children.exponent[k] == pytest.approx(mean[at + 1])
        assert children.covariance.ab[k] == pytest.approx(covariance[at, at + 1])
        spread = covariance[at, at] + covariance[0, 0] - 2 * covariance[0, at]
        assert steps.covariance.aa[k] == pytest.approx(spread)
