"""What a curve leans on, in words."""

import pytest

from analytics.curve_ground import CurveGround
from api.ground_words import SURFACES, ground_words
from api.page_view import view_of


@pytest.mark.parametrize(
    ("language", "ground", "words"),
    [
        (
            "en",
            CurveGround("SW", 24, 2, 12, "mat"),
            "Leans on: 24 own balls, 2 other clubs of the player, 12 players of the same coach. "
            "Surface: mat.",
        ),
        (
            "en",
            CurveGround("SW", 1, 0, 0, None),
            "Leans on: 1 own ball, general assumptions (few players). Surface: not stated.",
        ),
        (
            "de",
            CurveGround("SW", 24, 1, 12, "mat"),
            "Stützt sich auf: 24 eigene Bälle, 1 weiteren eigenen Schläger, "
            "12 Spieler desselben Trainers. Untergrund: Matte.",
        ),
        (
            "de",
            CurveGround("SW", 1, 0, 0, "dachterrasse"),
            "Stützt sich auf: 1 eigenen Ball, allgemeine Annahmen (wenige Spieler). "
            "Untergrund: dachterrasse.",
        ),
    ],
)
def test_a_curve_says_what_it_leans_on(language, ground, words):
    assert ground_words(view_of({}, language), ground) == words


@pytest.mark.parametrize("language", ["en", "de"])
def test_every_surface_has_a_word(language):
    for surface in SURFACES:
        words = ground_words(view_of({}, language), CurveGround("SW", 9, 0, 0, surface))
        assert "ground." not in words
