"""Share intervals against Newcombe's published table and exact beta quantiles.

Source: R. G. Newcombe, Two-sided confidence intervals for the single proportion, Statistics in
Medicine 17 (1998) 857, table I (four cases, 95 %), and statsmodels `proportion_confint`.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from analytics.errors import BadQuestion
from analytics.share import clopper_pearson, share, wilson


@pytest.mark.parametrize(
    ("k", "n", "w_low", "w_high", "cp_low", "cp_high"),
    [
        (81, 263, 0.2553, 0.3662, 0.2527, 0.3676),
        (15, 148, 0.0624, 0.1605, 0.0578, 0.1617),
        (0, 20, 0.0, 0.1611, 0.0, 0.1684),
        (1, 29, 0.0061, 0.1718, 0.0009, 0.1776),
    ],
)
def test_newcombe_table(k, n, w_low, w_high, cp_low, cp_high):
    assert wilson(k, n, 0.95) == pytest.approx((w_low, w_high), abs=6e-5)
    assert clopper_pearson(k, n, 0.95) == pytest.approx((cp_low, cp_high), abs=6e-5)


def test_small_exact_values():
    assert clopper_pearson(0, 10, 0.95) == pytest.approx((0, 0.308497), abs=1e-6)
    assert clopper_pearson(7, 10, 0.95) == pytest.approx((0.347547, 0.933260), abs=1e-6)
    assert wilson(7, 10, 0.95) == pytest.approx((0.396778, 0.892209), abs=1e-6)


@given(n=st.integers(1, 400), data=st.data(), level=st.sampled_from([0.5, 0.8, 0.9, 0.95]))
def test_agrees_with_statsmodels(n, data, level):
    k = data.draw(st.integers(0, n))
    assert wilson(k, n, level) == pytest.approx(
        proportion_confint(k, n, 1 - level, "wilson"), abs=1e-9
    )
    assert clopper_pearson(k, n, level) == pytest.approx(
        proportion_confint(k, n, 1 - level, "beta"), abs=1e-9
    )


def test_without_rows_everything_is_open():
    nothing = share(0, 0)
    assert (nothing.value, nothing.low, nothing.high) == (None, 0.0, 1.0)


@pytest.mark.parametrize(("k", "n", "level"), [(3, 2, 0.9), (-1, 2, 0.9), (1, 2, 1.0)])
def test_nonsense_is_refused(k, n, level):
    with pytest.raises(BadQuestion, match="does not exist"):
        wilson(k, n, level)
