"""Unit factors against UCUM 2.2, NIST SP 811 (2008) Appendix B.8 and scipy.constants."""

import pytest
from scipy import constants

from ingest.units import UNITS, find_unit, from_si, to_si

NIST_SP_811_B8 = {
    "[mi_i]/h": 4.4704e-01,
    "[yd_i]": 9.144e-01,
    "[ft_i]": 3.048e-01,
    "[in_i]": 2.54e-02,
    "[ft_i]/s": 3.048e-01,
    "km/h": 2.777778e-01,
    "[kn_i]": 5.144444e-01,
}
"""From memory; UCUM's definitions (2.54 cm, 12 in, 3 ft, 5280 ft) confirm the exact ones."""


@pytest.mark.parametrize(("code", "factor"), NIST_SP_811_B8.items())
def test_factors_of_nist(code, factor):
    assert to_si(1.0, code) == pytest.approx(factor, rel=1e-6)


def test_factors_of_ucum_by_definition():
    inch = 2.54 / 100
    assert to_si(1.0, "[in_i]") == pytest.approx(inch, rel=1e-15)
    assert to_si(1.0, "[ft_i]") == pytest.approx(12 * inch, rel=1e-15)
    assert to_si(1.0, "[yd_i]") == pytest.approx(36 * inch, rel=1e-15)
    assert to_si(1.0, "[mi_i]/h") == pytest.approx(5280 * 12 * inch / 3600, rel=1e-15)


@pytest.mark.parametrize(
    ("code", "value"),
    [
        ("[mi_i]/h", constants.mph),
        ("km/h", constants.kmh),
        ("[kn_i]", constants.knot),
        ("[yd_i]", constants.yard),
        ("[ft_i]", constants.foot),
        ("[in_i]", constants.inch),
        ("min", constants.minute),
    ],
)
def test_factors_of_scipy(code, value):
    assert to_si(1.0, code) == pytest.approx(value, rel=1e-15)


def test_angles_and_turns():
    assert to_si(1.0, "rad") == pytest.approx(1 / constants.degree, rel=1e-15)
    assert to_si(1.0, "rad/s") == pytest.approx(60 / (2 * constants.pi), rel=1e-15)
    assert 1 / to_si(1.0, "rad/s") == pytest.approx(1.047198e-01, rel=1e-6)


@pytest.mark.parametrize("code", sorted(UNITS))
def test_to_and_fro(code):
    for value in (0.0, 1.0, 12.5, 5842.0):
        assert from_si(to_si(value, code), code) == pytest.approx(value, rel=1e-15)
    assert find_unit(code, UNITS[code].dimension) == code
