"""The speed card for a carry with the club the player brackets with."""

from analytics.carry_curve import carry_curves
from analytics.db import Connection
from analytics.errors import NothingYet
from analytics.feedback import Feedback
from analytics.speed_card import SpeedCard
from analytics.speed_cards import card_for, named_lengths


def carry_card_for(
    con: Connection, found: Feedback, carry_m: float, club: str | None = None
) -> SpeedCard:
    """Three swings for a carry; `club` left out takes the one last bracketed, else most hit.

    Raises: NothingYet without a curve; OutOfRange beyond the speeds seen.
    """
    player_id = found.read.player_id
    curves = {curve.club: curve for curve in carry_curves(con, player_id)}
    bracketed = next((t.club for t in reversed(found.read.triples) if t.club in curves), None)
    usual = max(curves, key=lambda kind: curves[kind].n_shots, default=None)
    chosen = club or bracketed or usual
    if chosen is None or chosen not in curves:
        raise NothingYet(
            "There is no carry curve to read backwards yet.",
            "import a launch device's export with club speeds and carries.",
        )
    return card_for(found, curves[chosen], carry_m, named_lengths(con, player_id, chosen))
