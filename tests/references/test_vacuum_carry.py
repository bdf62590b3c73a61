"""Range without air against textbook values (v² sin 2θ / g, g = 9.80665 m/s²)."""

import numpy as np
import pytest

from ingest.physics import carry_pairs, vacuum_carry_m
from ingest.units import from_si


@pytest.mark.parametrize(
    ("speed_mps", "launch_deg", "carry_m"),
    [
        (5, 20, 1.6387),
        (10, 30, 8.8310),
        (10, 45, 10.1972),
        (15, 30, 19.8698),
        (20, 45, 40.7886),
    ],
)
def test_textbook_ranges(speed_mps, launch_deg, carry_m):
    found = vacuum_carry_m(np.array([float(speed_mps)]), np.array([float(launch_deg)]))
    assert found[0] == pytest.approx(carry_m, abs=1e-3)


@pytest.mark.parametrize("carry_unit", ["m", "[yd_i]", "[ft_i]"])
@pytest.mark.parametrize("speed_unit", ["m/s", "[mi_i]/h", "km/h"])
@pytest.mark.parametrize("drag", [0.86, 0.95, 1.03])
def test_the_true_units_are_always_among_the_possible(carry_unit, speed_unit, drag):
    """With the carry lost or won to air that published coefficients give at 5–20 m/s."""

    speed = np.linspace(6.0, 14.0, 12)
    launch = np.linspace(24.0, 40.0, 12)
    carry = vacuum_carry_m(speed, launch) * drag
    units = ("m", "[yd_i]", "[ft_i]"), ("m/s", "[mi_i]/h", "km/h")
    pairs = carry_pairs(
        np.array([from_si(c, carry_unit) for c in carry]),
        np.array([from_si(s, speed_unit) for s in speed]),
        launch,
        carry_units=units[0],
        speed_units=units[1],
    )
    assert (carry_unit, speed_unit) in pairs
    known_speed = {c for c, s in pairs if s == speed_unit}
    if carry_unit == "[ft_i]":
        assert known_speed == {"[ft_i]"}
    else:
        assert known_speed == {"m", "[yd_i]"}
