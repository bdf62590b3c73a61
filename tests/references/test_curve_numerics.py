"""Numerics under the carry curve against published data sets.

Sources: Rail and Orthodont: Pinheiro and Bates, Mixed-Effects Models in S and S-PLUS (Springer
2000), data as distributed with R's nlme; inverse prediction: a published worked example
(x = 100(20)280) and NIST's Norris data (StRD, linear regression).
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from analytics.curve_cells import Cells
from analytics.day_share import fit_days
from analytics.errors import BadQuestion
from analytics.inverse import Line, inverse

DATA = Path(__file__).parent / "check_data"


def cells(group, x, y):
    group, x, y = np.asarray(group), np.asarray(x, float), np.asarray(y, float)
    parts = [(x[group == g], y[group == g]) for g in sorted(set(group))]
    return Cells(
        np.zeros(len(parts), dtype=np.intp),
        np.array([float(len(a)) for a, _ in parts]),
        np.array([a.mean() for a, _ in parts]),
        np.array([b.mean() for _, b in parts]),
        np.array([((a - a.mean()) ** 2).sum() for a, _ in parts]),
        np.array([((a - a.mean()) * (b - b.mean())).sum() for a, b in parts]),
        np.array([((b - b.mean()) ** 2).sum() for _, b in parts]),
    )


def read(name):
    with (DATA / name).open() as file:
        return list(csv.DictReader(file))


def test_rail_by_restricted_likelihood():
    rows = read("nlme_rail.csv")
    y = [float(row["travel"]) for row in rows]
    found = fit_days(cells([row["Rail"] for row in rows], np.zeros(len(y)), y), sloped=False)
    assert found.level == pytest.approx(66.5)
    assert found.day_sd == pytest.approx(24.80547, rel=2e-4)
    assert found.shot_sd == pytest.approx(4.020779, rel=2e-4)
    assert found.log_likelihood == pytest.approx(-61.0885, abs=1e-3)


def test_orthodont_by_restricted_likelihood():
    rows = read("nlme_orthodont.csv")
    found = fit_days(
        cells(
            [row["Subject"] for row in rows],
            [row["age"] for row in rows],
            [row["distance"] for row in rows],
        )
    )
    assert found.level == pytest.approx(16.76111, rel=1e-4)
    assert found.slope == pytest.approx(0.660185, rel=1e-4)
    assert found.day_sd == pytest.approx(2.11472, rel=1e-4)
    assert found.shot_sd == pytest.approx(1.431592, rel=1e-4)
    assert found.log_likelihood == pytest.approx(-223.5013, abs=1e-3)


def ordinary(x, y):
    """Least-squares line with t-scaled covariance, by numpy."""
    x, y = np.asarray(x, float), np.asarray(y, float)
    n, sxx = len(x), ((x - x.mean()) ** 2).sum()
    slope = ((x - x.mean()) * (y - y.mean())).sum() / sxx
    level = y.mean() - slope * x.mean()
    s2 = ((y - level - slope * x) ** 2).sum() / (n - 2)
    line = Line(level, slope, s2 * (1 / n + x.mean() ** 2 / sxx), -s2 * x.mean() / sxx, s2 / sxx)
    return line, s2


def test_inverse_prediction_by_fieller():
    x = np.arange(100, 281, 20)
    y = [1.064, 1.177, 1.303, 1.414, 1.534, 1.642, 1.744, 1.852, 1.936, 2.046]
    line, s2 = ordinary(x, y)
    t = 2.306004135  # Student's t, 97.5 %, 8 degrees of freedom
    found = inverse(line, 1.251, t, s2)
    assert (found.value, found.low, found.high) == pytest.approx(
        (131.2771, 124.3506, 138.0647), abs=1e-4
    )
    assert inverse(line, 1.324, t, s2).value == pytest.approx(144.6649, abs=1e-4)
    assert inverse(line, 1.452, t, s2).value == pytest.approx(168.1394, abs=1e-4)


def test_inverse_of_norris():
    rows = read("nist_norris.csv")
    line, s2 = ordinary([r["x"] for r in rows], [r["y"] for r in rows])
    found = inverse(line, 500.0, 2.032244509, s2)  # 34 degrees of freedom
    assert (found.value, found.low, found.high) == pytest.approx(
        (499.205596, 497.385244, 501.026069), abs=1e-6
    )


def test_no_slope_no_interval():
    with pytest.raises(BadQuestion, match="slope"):
        inverse(Line(1.0, 0.1, 0.01, 0.0, 0.01), 2.0, 1.7)
