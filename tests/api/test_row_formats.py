"""Cells that a spreadsheet would run, and cells that it would not."""

import json

import polars as pl
import pyarrow as pa
from hypothesis import given
from hypothesis import strategies as st

from api.row_formats import formula_safe, to_json


@given(st.text())
def test_no_text_cell_begins_like_a_formula(text):
    cell = formula_safe(pl.DataFrame({"note": [text]}))["note"][0]
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert cell.removeprefix("'") == text.removeprefix("'")


@given(st.floats(allow_nan=False))
def test_numbers_are_left_alone(number):
    assert formula_safe(pl.DataFrame({"carry_m": [number]}))["carry_m"][0] == number


@given(st.lists(st.tuples(st.text(), st.none() | st.floats(allow_nan=False, allow_infinity=False))))
def test_rows_read_back_from_json_as_they_were(found):
    rows = [{"note": note, "carry_m": carry} for note, carry in found]
    schema = pa.schema([("note", pa.string()), ("carry_m", pa.float64())])
    batches = [pa.RecordBatch.from_pylist([row], schema) for row in rows]
    assert json.loads(b"".join(to_json(schema, iter(batches)))) == {"items": rows}
