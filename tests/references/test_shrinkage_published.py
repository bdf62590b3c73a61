"""Shrinkage against the textbook examples."""

import csv
from pathlib import Path

import numpy as np
import pytest

from analytics.shrinkage import shrink

DATA = Path(__file__).parent / "check_data"


# Efron & Morris 1977, Scientific American: factor .212, best player .400 → 0.294 (data: R, pscl).
def test_baseball_players_on_the_raw_scale() -> None:
    with (DATA / "efron_morris_1975.csv").open(encoding="utf-8") as handle:
        average = np.array([int(row["r"]) / 45 for row in csv.DictReader(handle)])
    grand = average.mean()
    drawn = shrink(average, np.full(18, grand * (1 - grand) / 45))
    assert drawn.centre == pytest.approx(0.265432, abs=1e-5)
    assert drawn.kept == pytest.approx(np.full(18, 0.211653), abs=1e-5)
    assert drawn.value[0] == pytest.approx(0.293914, abs=1e-5)
    assert drawn.value.min() == pytest.approx(0.242176, abs=1e-5)


# Efron & Morris 1975, JASA 70: squared errors 17.56 → 5.01 on the arcsine scale.
def test_baseball_players_on_the_arcsine_scale() -> None:
    with (DATA / "efron_morris_1975.csv").open(encoding="utf-8") as handle:
        listed = list(csv.DictReader(handle))
    shares = [int(row["r"]) / 45 for row in listed], [float(row["p"]) for row in listed]
    seen, truth = (np.sqrt(45) * np.arcsin(2 * np.array(share) - 1) for share in shares)
    drawn = shrink(seen, np.ones(18))
    assert drawn.kept == pytest.approx(np.full(18, 0.208974), abs=1e-5)
    assert ((seen - truth) ** 2).sum() == pytest.approx(17.5707, abs=1e-3)
    assert ((drawn.value - truth) ** 2).sum() == pytest.approx(4.9989, abs=1e-3)


# Rubin 1981, eight schools: nothing between the schools is left, all are drawn together.
def test_eight_schools() -> None:
    effect = np.array([28, 8, -3, 7, -1, 1, 18, 12.0])
    error = np.array([15, 10, 16, 11, 9, 11, 10, 18.0])
    drawn = shrink(effect, error**2)
    assert drawn.between_variance == 0
    assert drawn.centre == pytest.approx(7.685617, abs=1e-5)
    assert drawn.centre_sd == pytest.approx(4.071919, abs=1e-5)
    assert drawn.heterogeneity == pytest.approx(4.707, abs=1e-3)
    assert drawn.value == pytest.approx(np.full(8, 7.685617), abs=1e-5)
