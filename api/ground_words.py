"""What a curve leans on, as one line in the reader's language."""

from analytics.curve_ground import CurveGround
from api.page_view import View

SURFACES = ("mat", "grass", "rough", "sand", "wet")
"""Surfaces with a word of their own in every language; others stand as the coach wrote them."""


def ground_words(view: View, ground: CurveGround) -> str:
    """`Leans on 24 own balls, 2 other clubs and what is usual. Surface: mat.`"""
    say = view.texts.say
    parts = [say("ground.balls_one" if ground.n_shots == 1 else "ground.balls", n=ground.n_shots)]
    if ground.n_other_clubs:
        clubs = "ground.clubs_one" if ground.n_other_clubs == 1 else "ground.clubs"
        parts.append(say(clubs, n=ground.n_other_clubs))
    usual = "ground.players" if ground.n_players else "ground.assumed"
    parts.append(say(usual, n=ground.n_players))
    return say("ground.leans", on=", ".join(parts), surface=_surface(view, ground.surface))


def _surface(view: View, surface: str | None) -> str:
    if surface is None:
        return view.texts.say("ground.not_stated")
    return view.texts.say(f"ground.{surface}") if surface in SURFACES else surface
