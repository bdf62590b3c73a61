"""Cells that a spreadsheet would run, and cells that it would not."""

import polars as pl
from hypothesis import given
from hypothesis import strategies as st

from api.row_formats import formula_safe


@given(st.text())
def test_no_text_cell_begins_like_a_formula(text):
    cell = formula_safe(pl.DataFrame({"note": [text]}))["note"][0]
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert cell.removeprefix("'") == text.removeprefix("'")


@given(st.floats(allow_nan=False))
def test_numbers_are_left_alone(number):
    assert formula_safe(pl.DataFrame({"carry_m": [number]}))["carry_m"][0] == number
