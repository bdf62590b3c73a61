"""Partial correlation on the Longley data of the NIST StRD."""

import csv
from pathlib import Path

import numpy as np
import pytest

from analytics.tempo import partial_correlation

DATA = Path(__file__).parent / "check_data"


def longley() -> dict[str, np.ndarray]:
    with (DATA / "nist_longley.csv").open() as file:
        rows = list(csv.DictReader(file))
    return {name: np.array([float(row[name]) for row in rows]) for name in rows[0]}


def test_employment_and_gnp_given_the_year():
    """0.728249027, from the three simple correlations by the textbook identity."""
    table = longley()
    employed, gnp, year = (table[name] for name in ("y", "gnp", "year"))
    assert partial_correlation(employed, gnp, year) == pytest.approx(0.728249027, abs=1e-8)
    r_eg, r_ey, r_gy = (
        np.corrcoef(a, b)[0, 1] for a, b in ((employed, gnp), (employed, year), (gnp, year))
    )
    identity = (r_eg - r_ey * r_gy) / np.sqrt((1 - r_ey**2) * (1 - r_gy**2))
    assert partial_correlation(employed, gnp, year) == pytest.approx(identity, abs=1e-8)
