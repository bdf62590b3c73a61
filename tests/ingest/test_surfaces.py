"""What balls were struck from: in the rows, around them, or said beforehand."""

import textwrap

import pytest

from ingest.read_export import read_export
from ingest.reading import Options
from ingest.surfaces import read_surface

ROWS = """
Shot,Time,Club,Ball Speed (m/s),Carry (m){header}
1,2026-03-14T10:23:05Z,SW,11.1,9.2{first}
2,2026-03-14T10:24:05Z,SW,11.2,9.4{second}
"""


def surfaces(before="", header="", first="", second="", **options):
    text = before + ROWS.lstrip("\n").format(header=header, first=first, second=second)
    reading = read_export(
        textwrap.dedent(text).encode(), name="export.csv", options=Options(**options)
    )
    assert reading.questions == ()
    found = reading.table.get_column("surface", default=None)
    return [None] * reading.table.height if found is None else found.to_list()


@pytest.mark.parametrize(
    ("text", "surface"),
    [
        ("mat", "mat"),
        ("Range  Mat", "mat"),
        ("Kunstrasen", "mat"),
        ("マット", "mat"),
        ("매트", "mat"),
        ("tapis", "mat"),
        ("Grass", "grass"),
        ("hierba", "grass"),
        ("gräs", "grass"),
        ("herbe mouillée", "wet"),
        ("Bunker", "sand"),
        ("Hard Pan", "hard pan"),
        ("", None),
        ("  ", None),
    ],
)
def test_one_surface_by_many_words(text, surface):
    assert read_surface(text) == surface


def test_a_column_says_it_ball_by_ball():
    found = surfaces(header=",Surface", first=",Range mat", second=",fairway")
    assert found == ["mat", "grass"]
    assert surfaces(header=",Untergrund", first=",Matte", second=",") == ["mat", None]


def test_a_line_above_the_rows_says_it_for_all():
    assert surfaces("Surface: practice mat\n\n") == ["mat", "mat"]


def test_a_user_says_it_where_the_file_does_not():
    assert surfaces() == [None, None]
    assert surfaces(surface="Natural grass") == ["grass", "grass"]
    assert surfaces("Surface: mat\n\n", surface="grass") == ["grass", "grass"]
    assert surfaces(header=",Surface", first=",mat", second=",wet", surface="grass") == [
        "mat",
        "wet",
    ]
