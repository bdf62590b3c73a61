"""Lines, least squares and spreads against NIST's certified values.

Source: NIST Statistical Reference Datasets (StRD), linear regression (Norris, NoInt1, NoInt2,
Longley, Pontius, Filip) and univariate summary statistics (NumAcc4); certified values as published,
each also solved again in exact rational arithmetic.
"""

import csv
import json
from pathlib import Path

import numpy as np
import pyarrow as pa
import pytest

from analytics.curve_cells import PRIOR_EXPONENT
from analytics.curve_rows import curve_rows
from analytics.db import ask, in_memory, sql
from analytics.errors import BadQuestion
from analytics.regression import least_squares, lines
from tests.analytics.simulated_players import Balls, connection

DATA = Path(__file__).parent / "check_data"
CERTIFIED = json.loads((DATA / "nist_linear_certified_and_exact.json").read_text())


def columns(name):
    with (DATA / name).open() as file:
        rows = list(csv.DictReader(file))
    return {key: np.array([float(row[key]) for row in rows]) for key in rows[0]}


def line_through(x, y):
    con = in_memory({})
    con.register("points", pa.table({"series": ["a"] * len(x), "x": x, "y": y}))
    (found,) = lines(con, "points")
    return found


def test_norris_by_sql():
    data = columns("nist_norris.csv")
    found = line_through(data["x"], data["y"])
    assert found.level == pytest.approx(-0.262323073774029, rel=1e-9)
    assert found.slope == pytest.approx(1.00211681802045, rel=1e-12)
    assert found.level_se == pytest.approx(0.232818234301152, rel=1e-9)
    assert found.slope_se == pytest.approx(4.29796848199937e-4, rel=1e-9)
    assert found.residual_sd == pytest.approx(0.884796396144373, rel=1e-9)
    assert found.r_squared == pytest.approx(0.999993745883712, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "slope", "error", "sd"),
    [
        ("nist_noint1.csv", 2.07438016528926, 0.0165289256198347, 3.56753034006338),
        ("nist_noint2.csv", 0.727272727272727, 0.0420827318078432, 0.369274472937998),
    ],
)
def test_lines_through_the_origin(name, slope, error, sd):
    data = columns(name)
    found = line_through(data["x"], data["y"])
    assert found.through_origin == pytest.approx(slope, rel=1e-12)
    assert found.through_origin_se == pytest.approx(error, rel=1e-11)
    assert found.through_origin_sd == pytest.approx(sd, rel=1e-11)


def numacc4():
    return np.array([10000000.2] + [10000000.1, 10000000.3] * 500)


def test_numacc4_by_sql():
    y = numacc4()
    assert line_through(np.arange(1001.0), y).sd_y == pytest.approx(0.1, rel=1e-7)


def struck(x, y):
    """Balls whose ln speed and ln carry are x and y: what a curve is made of."""
    n = len(x)
    nothing = np.zeros(n, dtype=int)
    balls = Balls(nothing, nothing, nothing, 10 * np.exp(x), np.exp(y), nothing.astype(bool))
    return connection(balls)


def moments(con):
    con.execute(sql("strikes"))
    given = {"strikes": "strikes_club", "by_swing_length": False, "exponent": PRIOR_EXPONENT}
    (row,) = curve_rows(ask(con, "carry_curve", given), 1.0, cut=1e9).to_pylist()
    return row


def test_norris_through_the_carry_curve_itself():
    """Norris, divided by 1000 so that it fits a logarithm: the same line."""
    data = columns("nist_norris.csv")
    row = moments(struck(data["x"] / 1000, data["y"] / 1000))
    slope = PRIOR_EXPONENT + row["cov_xr"] / row["var_x"]
    level = row["mean_r"] + (PRIOR_EXPONENT - slope) * row["mean_x"]
    assert row["n"] == 36
    assert slope == pytest.approx(1.00211681802045, rel=1e-9)
    assert 1000 * level == pytest.approx(-0.262323073774029, rel=1e-9)


def test_numacc4_through_the_carry_curve_itself():
    """NumAcc4 times 1e-5, all at one speed: its spread is not lost to rounding."""
    row = moments(struck(np.zeros(1001), numacc4() * 1e-5))
    assert 1e5 * np.sqrt(row["var_r"] * 1001 / 1000) == pytest.approx(0.1, rel=1e-6)


def certified(name):
    return [float(value) for value in CERTIFIED[name]["exact_b"]], [
        float(value) for value in CERTIFIED[name]["exact_sd"]
    ]


def test_longley_raw_is_refused_and_centred_is_right():
    data = columns("nist_longley.csv")
    names = ("gnpdefl", "gnp", "unemp", "armed", "pop", "year")
    raw = np.column_stack([data[name] for name in names])
    coefficients, errors = certified("Longley")
    centred = np.column_stack([np.ones(16), raw - raw.mean(axis=0)])
    found = least_squares(centred, data["y"])
    assert found.coefficients[1:] == pytest.approx(coefficients[1:], rel=1e-9)
    assert found.standard_errors[1:] == pytest.approx(errors[1:], rel=1e-9)
    assert found.residual_sd == pytest.approx(304.854073561965, rel=1e-10)
    level = found.coefficients[0] - raw.mean(axis=0) @ found.coefficients[1:]
    assert level == pytest.approx(-3482258.63459582, rel=1e-9)


def test_pontius_by_scaling():
    data = columns("nist_pontius.csv")
    design = np.column_stack([data["x"] ** k for k in range(3)])
    coefficients, errors = certified("Pontius")
    found = least_squares(design, data["y"])
    assert found.coefficients == pytest.approx(coefficients, rel=1e-10)
    assert found.standard_errors == pytest.approx(errors, rel=1e-8)
    assert found.residual_sd == pytest.approx(2.0517742e-4, rel=1e-7)


def test_filip_is_refused_raw_and_solved_scaled():
    data = columns("nist_filip.csv")
    x, y = data["x"], data["y"]
    with pytest.raises(BadQuestion, match="same thing"):
        least_squares(np.column_stack([x**k for k in range(11)]), y)
    middle, half = (x.max() + x.min()) / 2, (x.max() - x.min()) / 2
    basis = np.polynomial.chebyshev.chebvander((x - middle) / half, 10)
    found = least_squares(basis, y)
    assert found.residual_sd == pytest.approx(0.00334801051324544, rel=1e-9)
    shifted = np.polynomial.chebyshev.Chebyshev(
        found.coefficients, domain=[x.min(), x.max()]
    ).convert(kind=np.polynomial.Polynomial)
    assert shifted.coef == pytest.approx(certified("Filip")[0], rel=1e-7)
