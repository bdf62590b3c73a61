"""What a carry curve leans on: own balls, own other clubs, other players, or what is assumed."""

from collections.abc import Sequence
from dataclasses import dataclass

from analytics.db import Connection, ask
from analytics.power_curve import CarryCurve


@dataclass(frozen=True)
class CurveGround:
    """What one club's curve leans on, and what its balls were struck from.

    n_shots: its own clean balls; n_other_clubs: the player's other clubs with clean balls.
    n_players: players of the same coach that what is usual was learnt from; 0 where it is assumed.
    surface: as stated last; None where nobody stated one.
    """

    club: str
    n_shots: int
    n_other_clubs: int
    n_players: int
    surface: str | None


def curve_grounds(
    con: Connection, player_id: str, curves: Sequence[CarryCurve]
) -> list[CurveGround]:
    """One per curve, in their order.

    Args:
        con: views of `analytics.db`; player_id: whose curves.
        curves: one per club, from `carry_curves`.
    """
    stated = ask(con, "surface_in_play", {"player_id": player_id}, views="strikes").to_pylist()
    surface = stated[0]["surface"] if stated else None
    others = len(curves) - 1
    return [
        CurveGround(curve.club, curve.n_shots, others, curve.n_players, surface) for curve in curves
    ]
