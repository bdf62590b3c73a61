"""The middle and the reach by which balls are judged."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.mishit_rule import LEAST_CURVES, QUARTILE, median_and_quartile, middle_and_reach

RUNS = st.lists(st.lists(st.floats(-3, 3), max_size=30), min_size=1, max_size=12)


def laid_out(runs: list[list[float]]) -> tuple[np.ndarray, np.ndarray]:
    values = np.array([value for run in runs for value in run], dtype=float)
    return values, np.array([len(run) for run in runs])


@given(RUNS)
def test_medians_and_quartiles_are_those_of_numpy(runs):
    values, size = laid_out(runs)
    before = values.copy()
    median, upper = median_and_quartile(values, size)
    for i, run in enumerate(runs):
        expected = np.quantile(run, [0.5, 0.75]) if run else [np.nan, np.nan]
        assert [median[i], upper[i]] == pytest.approx(expected, abs=1e-12, nan_ok=True)
    assert (values == before).all()


def test_thin_data_are_drawn_to_what_is_usual():
    values, size = laid_out([[0.0, 0.0, 0.0, 0.0], []])
    middle, reach = middle_and_reach(values, size, cut=2.8, usual_sd=0.07)
    assert middle == pytest.approx([0, 0])
    assert reach == pytest.approx([2.8 * 0.07 * np.sqrt(6 / 10), 2.8 * 0.07])


@pytest.mark.parametrize("n_curves", [LEAST_CURVES - 1, LEAST_CURVES])
def test_enough_curves_say_themselves_what_is_typical(n_curves):
    run = [-0.1, 0.0, 0.0, 0.1 * QUARTILE, 0.3]
    values, size = laid_out([run] * n_curves)
    _, reach = middle_and_reach(values, size, cut=1.0, usual_sd=0.5)
    alone = np.sqrt((6 * 0.5**2 + 5 * 0.1**2) / 11)
    assert reach == pytest.approx(0.1 if n_curves == LEAST_CURVES else alone)
