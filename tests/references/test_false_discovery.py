"""False-discovery control against the published example and two libraries."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import false_discovery_control
from statsmodels.stats.multitest import multipletests

from analytics.discovery import benjamini_hochberg

PUBLISHED = np.array(
    [
        (0.0001, 0.0004, 0.0019, 0.0095, 0.0201),
        (0.0278, 0.0298, 0.0344, 0.0459, 0.3240),
        (0.4262, 0.5719, 0.6528, 0.7590, 1.0000),
    ]
).ravel()
"""Benjamini & Hochberg 1995, JRSS B 57, 289: the example of section 3.2."""


def test_published_example_rejects_four_where_bonferroni_rejects_three():
    adjusted = benjamini_hochberg(PUBLISHED)
    assert int((adjusted <= 0.05).sum()) == 4
    assert int((PUBLISHED * PUBLISHED.size <= 0.05).sum()) == 3
    assert adjusted[:9] == pytest.approx(
        [0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.063857, 0.063857, 0.0645, 0.0765], abs=1e-6
    )


@given(st.lists(st.floats(0, 1), min_size=1, max_size=40))
def test_adjusted_values_equal_scipy_and_statsmodels_in_any_order(p_values):
    p = np.array(p_values)
    adjusted = benjamini_hochberg(p)
    assert adjusted == pytest.approx(false_discovery_control(p), abs=1e-12)
    assert adjusted == pytest.approx(multipletests(p, method="fdr_bh")[1], abs=1e-12)
