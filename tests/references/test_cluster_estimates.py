"""Cluster and mixed estimates against statsmodels and published fits."""

import csv
from pathlib import Path

import numpy as np
import pytest
import statsmodels.api as sm
from statsmodels.stats.meta_analysis import combine_effects

from analytics.clustered import mean_over_sessions, random_intercept, session_means

DATA = Path(__file__).parent / "check_data"


def rail() -> tuple[np.ndarray, np.ndarray]:
    with (DATA / "nlme_rail.csv").open() as file:
        rows = list(csv.DictReader(file))
    return (
        np.array([float(row["travel"]) for row in rows]),
        np.array([int(row["Rail"]) for row in rows]),
    )


def test_random_intercept_gives_the_rail_fit_of_pinheiro_and_bates():
    """Pinheiro & Bates 2000, Mixed-Effects Models in S and S-PLUS: 66.5, 24.80547, 4.020779."""
    fit = random_intercept(session_means(*rail()))
    assert fit.mean == pytest.approx(66.5, rel=2e-4)
    assert fit.between_sd == pytest.approx(24.80547, rel=2e-4)
    assert fit.within_sd == pytest.approx(4.020779, rel=2e-4)


def test_random_intercept_equals_mixedlm_on_unequal_sessions():
    rng = np.random.default_rng(5)
    counts = [4, 9, 15, 6, 30, 11, 8]
    days = np.repeat(np.arange(7), counts)
    values = 3.0 + rng.normal(0, 0.8, 7)[days] + rng.normal(0, 1.1, days.size)
    fit = random_intercept(session_means(values, days))
    other = sm.MixedLM(values, np.ones(days.size), groups=days).fit(reml=True)
    assert fit.mean == pytest.approx(other.fe_params[0], abs=2e-4)
    assert fit.within_sd == pytest.approx(np.sqrt(other.scale), rel=2e-3)
    assert fit.between_sd == pytest.approx(np.sqrt(other.cov_re[0, 0]), rel=5e-3)


def test_mean_over_sessions_equals_the_hartung_knapp_combination():
    """statsmodels.stats.meta_analysis with the same variances and the scale of Hartung & Knapp."""
    rng = np.random.default_rng(8)
    counts = np.array([5, 12, 7, 20, 9, 14])
    days = np.repeat(np.arange(6), counts)
    values = rng.normal(0, 1.5, 6)[days] + rng.normal(0, 1.0, days.size)
    means = session_means(values, days)
    fit = random_intercept(means)
    ours = mean_over_sessions(values, days)
    variances = fit.within_sd**2 / means.count + fit.between_sd**2
    theirs = combine_effects(means.mean, variances, method_re="dl", use_t=True)
    weighted = np.sum(means.mean / variances) / np.sum(1 / variances)
    assert ours.value == pytest.approx(weighted, rel=1e-9)
    scale = np.sum((means.mean - weighted) ** 2 / variances) / 5
    assert ours.se == pytest.approx(np.sqrt(scale / np.sum(1 / variances)), rel=1e-6)
    assert theirs.mean_effect_fe == pytest.approx(weighted, rel=1e-6)
    assert theirs.sd_eff_w_fe_hksj == pytest.approx(ours.se, rel=1e-6)
