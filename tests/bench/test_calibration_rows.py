"""The calibration bench runs, and its promises hold already on small samples."""

from tests.bench.calibration_advice import false_gaps, practise
from tests.bench.calibration_coverage import coverage
from tests.bench.calibration_scale import measure
from tests.bench.calibration_width import width


def test_coverage_is_near_nominal():
    line = coverage("unlike the prior", "spread", 10, 400)
    assert max(map(abs, line.departures())) <= 5


def test_bands_are_narrower_than_least_squares_with_few_balls():
    found = width(5, 0.05, 200, mixed=False)
    assert found.half["own"] < 0.7 * found.half["least squares"]


def test_the_least_width_is_that_of_a_band_which_holds():
    found = width(10, 0.05, 300, mixed=False)
    assert abs(found.covered["all known"] - 90) <= 3
    assert found.half["all known"] < found.half["least squares"]


def test_equal_rungs_are_seldom_told_apart():
    assert false_gaps(20, 4, shared_days=False, n_players=300) <= 0.07
    assert false_gaps(20, 4, shared_days=False, n_players=300, any_ball=True) <= 0.07


def test_advice_beats_an_even_spread():
    assert practise(8, advised=True).balls < 0.9 * practise(8, advised=False).balls


def test_a_whole_store_is_calibrated_from_files():
    found = measure("import folders", 20, turns=1)
    assert found.n_balls == 10_000
    assert found.ratio > 0
