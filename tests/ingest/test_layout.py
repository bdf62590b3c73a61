"""Declared layouts: checked when read, matched by header, saved from answers."""

import pytest

from ingest.errors import BadOption
from ingest.layout import parse_layout
from ingest.layout_files import all_layouts, find_layout, save_layout, shipped_layouts
from ingest.layout_saving import layout_from
from ingest.read_export import read_export
from ingest.reading import Options
from tests.compliance import check_layout

OPEN = b"""No.,When,Speed,Carry,Side
1,03/04/2026 10:23:05,25.0,12.5,1.5
2,03/04/2026 10:24:05,24,11,-1
"""
ANSWERS = {
    "meaning:Speed": "ball_speed_mps",
    "unit:ball_speed_mps": "mph",
    "unit:carry_m": "yd",
    "unit:side_m": "yd",
    "sign:side_m": "left",
    "zone:struck_at_utc": "Europe/Madrid",
    "date_order:struck_at_utc": "dmy",
}


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("CARRYBOOK_LAYOUTS", str(tmp_path / "layouts"))


@pytest.mark.parametrize("layout", shipped_layouts(), ids=lambda layout: layout.name)
def test_shipped_layouts_obey_the_rules(layout):
    check_layout(layout)


def test_a_saved_layout_answers_for_the_next_file():
    options = Options(answers=ANSWERS)
    first = read_export(OPEN, name="a.csv", options=options)
    assert not first.questions
    save_layout(layout_from(first, "my-device", options))
    check_layout(find_layout("my-device"))
    again = read_export(OPEN, name="b.csv")
    assert again.layout == "my-device@1"
    assert not again.questions
    assert again.table.equals(first.table)
    assert again.table["side_m"].to_list() == pytest.approx([-1.5 * 0.9144, 0.9144])
    assert all_layouts()[0].name == "my-device"


def test_open_questions_are_not_saved_as_answers():
    with pytest.raises(BadOption, match="meaning:Speed"):
        layout_from(read_export(OPEN, name="a.csv"), "my-device", Options())


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"kind": "weather"}, "weather"),
        ({"colour": "red"}, "colour"),
        ({"columns": []}, "no columns"),
        ({"columns": [{"header": "A", "column": "carry"}]}, "carry"),
        ({"columns": [{"header": "A", "column": "carry_m", "unit": "mph"}]}, "mph"),
        ({"columns": [{"header": "A", "column": "side_m", "sign": "up"}]}, "sign"),
        ({"decimal": ";"}, "decimal"),
    ],
)
def test_a_wrong_layout_is_refused_by_name(change, word):
    data = {"name": "x", "kind": "launch", "columns": [{"header": "A", "column": "carry_m"}]}
    with pytest.raises(BadOption, match=word):
        parse_layout(data | change, "x.toml")


@pytest.mark.parametrize(
    "options",
    [
        {"units": {"carry_m": "furlongs"}},
        {"zone": "Middle/Earth"},
        {"day": "yesterday"},
        {"decimal": ";"},
        {"answers": {"unit:carry_m": "bananas"}},
        {"answers": {"date_order:struck_at_utc": "dym"}},
    ],
)
def test_options_that_do_not_exist_are_refused(options):
    with pytest.raises(BadOption):
        read_export(OPEN, name="a.csv", options=Options(**options))
