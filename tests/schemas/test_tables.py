"""The table definitions: valid by the open standard, in one place, documented."""

import re

import pytest
from frictionless import Schema

from schemas.describe import PAGE, page
from schemas.tables import TABLES, arrow_schema, columns, table_schema

# UCUM codes of the units used (The Unified Code for Units of Measure, version 2.2).
UNITS = {"m", "m/s", "deg", "s", "1", "{rev}/min", "By", "[ft_i]"}
SUFFIXES = {
    "_m": "m",
    "_mps": "m/s",
    "_deg": "deg",
    "_s": "s",
    "_rpm": "{rev}/min",
    "_ft": "[ft_i]",
}


@pytest.mark.parametrize("table", TABLES)
def test_each_definition_is_a_valid_table_schema(table):
    schema = Schema.from_descriptor(dict(table_schema(table)))
    assert [field.name for field in schema.fields] == list(columns(table))


@pytest.mark.parametrize("table", TABLES)
def test_a_unit_in_a_name_is_the_unit_of_the_column(table):
    for column in columns(table).values():
        assert column.unit is None or column.unit in UNITS
        suffix = re.search(r"_[a-z]+$", column.name)
        if column.type == "number" and suffix and suffix.group() in SUFFIXES:
            assert column.unit == SUFFIXES[suffix.group()], column.name


@pytest.mark.parametrize("table", TABLES)
def test_arrow_schemas_carry_units_and_descriptions(table):
    for field in arrow_schema(table):
        assert field.metadata[b"description"].decode() == columns(table)[field.name].description


def test_the_columns_page_is_not_stale():
    assert PAGE.read_text("utf-8") == page()
