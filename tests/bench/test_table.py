"""Every benchmark can be called by the one command that prints the table."""

import importlib
import inspect

import pytest

from tests.bench.__main__ import modules

GROUPS = ("reading", "pairing", "calibration", "feedback", "short-game", "api", "pages")


@pytest.mark.parametrize("group", GROUPS)
def test_each_group_has_rows_that_know_a_quick_round(group):
    found = [importlib.import_module(f"tests.bench.{name}") for name in modules(group)]
    measured = [module for module in found if hasattr(module, "rows")]
    assert measured
    for module in measured:
        inspect.signature(module.rows).bind(True)
