"""Single cells as numbers: signs, groups, units, sides, feet and inches, fractions, clocks."""

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ingest.decimal_sign import decide_decimal, evidence, evidence_of, is_open
from ingest.number_columns import read_column
from ingest.numbers import read_number


@pytest.mark.parametrize(
    ("text", "decimal", "dimension", "value", "unit"),
    [
        ("12.5", ".", "length", 12.5, None),
        ("1,234.5", ".", "spin", 1234.5, None),
        ("1.234,5", ",", "spin", 1234.5, None),
        ("1'234.5", ".", "spin", 1234.5, None),
        ("5\u202f842", ",", "spin", 5842.0, None),
        ("−3.2", ".", "angle", -3.2, None),
        (".5", ".", "length", 0.5, None),
        ("1.2e3", ".", "spin", 1200.0, None),
        ("１２．５", ".", "length", 12.5, None),
        ("12.5 yds", ".", "length", 12.5, "[yd_i]"),
        ("12' 6\"", ".", "length", 12.5, "[ft_i]"),
        ("3'4", ".", "length", 40 / 12, "[ft_i]"),
        ("3 ft 4 1/2 in", ".", "length", 40.5 / 12, "[ft_i]"),
        ('6 3/4"', ".", "length", 6.75, "[in_i]"),
        ("12.5′", ".", "length", 12.5, "[ft_i]"),
        ("3:1", ".", "ratio", 3.0, "1"),
        ("2,5:1", ",", "ratio", 2.5, "1"),
        ("98%", ".", "ratio", 98.0, "%"),
        ("0:00.75", ".", "time", 0.75, "s"),
        ("12.5*", ".", "length", 12.5, None),
        ("(1.5)", ".", "length", -1.5, None),
        ("4.1° down", ".", "angle", -4.1, None),
        ("2,5 hoch", ",", "angle", 2.5, None),
        ("3 ft short", ".", "length", -3.0, "[ft_i]"),
    ],
)
def test_a_cell_as_a_number(text, decimal, dimension, value, unit):
    found = read_number(text, decimal, dimension)
    assert found.value == pytest.approx(value)
    assert (found.unit, found.fault) == (unit, None)


@pytest.mark.parametrize(
    ("text", "decimal", "dimension", "fault"),
    [
        ("12,5", ".", "length", "two_meanings"),
        ("1.25", ",", "length", "two_meanings"),
        ("5.842", None, "spin", "decimal_open"),
        ("1,23,4", ".", "length", "two_meanings"),
        ("ten", ".", "length", "unreadable"),
        ("12 bananas", ".", "length", "unreadable"),
        ("12 mph", ".", "length", "unreadable"),
        ("5' 13\"", ".", "length", "unreadable"),
        (">20", ".", "length", "unreadable"),
        ("-1.5 up", ".", "angle", "two_meanings"),
        ("+3 ft short", ".", "length", "two_meanings"),
        ("1.5 up", ".", "length", "unreadable"),
        ("1e999", ".", "length", "unreadable"),
    ],
)
def test_a_cell_that_is_not_read(text, decimal, dimension, fault):
    found = read_number(text, decimal, dimension)
    assert (found.value, found.fault) == (None, fault)


@pytest.mark.parametrize(
    ("text", "value", "side"),
    [
        ("3.2 L", 3.2, -1),
        ("R 4", 4.0, 1),
        ("L3.2°", 3.2, -1),
        ("左3.5", 3.5, -1),
        ("12.5 m left", 12.5, -1),
        ("3.2 (R)", 3.2, 1),
        ("1.5 G", 1.5, -1),
        ("1.5 D", 1.5, 1),
        ("straight", 0.0, 0),
        ("2.1 push", 2.1, 1),
    ],
)
def test_a_side_beside_a_number(text, value, side):
    found = read_number(text, ".", "length" if " m " in text else "angle", True)
    assert (found.value, found.side, found.fault) == (value, side, None)


@pytest.mark.parametrize(
    ("cells", "decimal"),
    [
        (["12.5", "5.842"], "."),
        (["12,5", "5.842"], ","),
        (["0.125"], "."),
        (["1.234,5"], ","),
        (["1,234,567"], "."),
        (["5.842"], None),
        (["12"], None),
        (["12.5", "12,5"], None),
    ],
)
def test_which_sign_the_cells_prove(cells, decimal):
    assert decide_decimal([evidence_of(cells)]) == decimal
    assert is_open(evidence_of(["5.842"]))


NUMBERS = st.text(alphabet="0123456789.,-' ", min_size=1, max_size=9)


@given(st.lists(st.one_of(st.none(), NUMBERS), min_size=1, max_size=12))
def test_long_and_short_columns_agree(cells):
    short = pl.Series("0", cells, dtype=pl.String)
    long = pl.concat([short] * (2001 // len(cells) + 1))
    assert evidence({0: long})[0] == evidence_of(cells)
    for decimal in (".", ",", None):
        few = read_column(short, decimal, "length")
        many = read_column(long, decimal, "length")
        assert many.values[: len(cells)].to_list() == few.values.to_list()
        assert {r: f for r, f in many.faults.items() if r < len(cells)} == few.faults
