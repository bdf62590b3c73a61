"""Clubs in free text."""

import pytest

from ingest.clubs import read_club


@pytest.mark.parametrize(
    ("text", "kind", "loft_deg"),
    [
        ("SW", "SW", None),
        ("sand wedge", "SW", None),
        ("Sandeisen", "SW", None),
        ("サンドウェッジ", "SW", None),
        ("샌드 웨지", "SW", None),
        ("Sand Wedge (56°)", "SW", 56),
        ("SW 56", "SW", 56),
        ("56°", "W", 56),
        ("54,5°", "W", 54.5),
        ("60° wedge", "W", 60),
        ("LW 58.10", "LW", 58),
        ("58/10", "W", 58),
        ("7i", "7I", None),
        ("7 iron", "7I", None),
        ("Eisen 7", "7I", None),
        ("Fer 9", "9I", None),
        ("järn 7", "7I", None),
        ("9番アイアン", "9I", None),
        ("3 Holz", "3W", None),
        ("1W", "DR", None),
        ("4H", "4H", None),
        ("gap wedge 50", "GW", 50),
        ("my sand wedge", "SW", None),
        ("Wedge", "W", None),
        ("stick", None, None),
        ("sand or lob", None, None),
        ("", None, None),
    ],
)
def test_kind_and_loft(text, kind, loft_deg):
    club = read_club(text)
    assert (club.kind, club.loft_deg) == (kind, loft_deg)
