"""A club never hit yet: what its curve will be like, from the player's other clubs and its loft."""

from dataclasses import replace

import numpy as np

from analytics.carry_curve import CurveStack, curve_stack, only_club
from analytics.curve_cells import CLUB_LOFT_DEG, PRIOR_EXPONENT, IntArray, Tree, prior_level
from analytics.curve_fit import fit
from analytics.db import Connection
from analytics.errors import NothingYet
from analytics.mishits import TAIL_MEAN, TAIL_SD, Tail
from analytics.power_curve import CarryCurve


def new_club_curve(
    con: Connection, player_id: str, club: str, loft_deg: float | None = None
) -> CarryCurve:
    """Curve of a club; of one not hit yet, with no ball behind it and the band that deserves.

    Args:
        con: views of `analytics.db`; player_id: whose club.
        club: kind of club; loft_deg: its loft, degrees; None takes the usual one of its kind.

    Raises: NothingYet when the player has no ball with any club.
    """
    stack = curve_stack(con)
    table = stack.table
    others = [
        stack.curve(i)
        for i in range(len(stack))
        if table.n[i] > 0 and table.players[table.player[i]] == player_id
    ]
    if not others:
        raise NothingYet(
            "There is no ball with a speed and a carry yet.", "import a launch device's export."
        )
    if any(curve.club == club for curve in others):
        return only_club(others, club)[0]
    loft = loft_deg if loft_deg is not None else CLUB_LOFT_DEG.get(club)
    return _expected(stack, others, club, loft)


def _expected(
    stack: CurveStack, others: list[CarryCurve], club: str, loft_deg: float | None
) -> CarryCurve:
    table, tree = stack.table, stack.table.tree
    player = table.players.index(others[0].player_id)
    n_clubs = len(tree.player_of_club)
    grown = Tree(
        _and(tree.club_of_curve, n_clubs), _and(tree.player_of_club, player), tree.n_players, False
    )
    done = fit(table.cells, grown, stack.population)
    aa, ab, bb = (float(part[-1]) for part in done.belief.covariance.parts)
    level = float(prior_level(np.array([np.nan if loft_deg is None else loft_deg]))[0])
    variance = float(done.shot_variance[-1])
    known = min(others, key=lambda curve: abs((curve.loft_deg or 50) - (loft_deg or 50)))
    return replace(
        known,
        club=club,
        swing_length=None,
        loft_deg=loft_deg,
        log_level=level + float(done.belief.level[-1]),
        exponent=PRIOR_EXPONENT + float(done.belief.exponent[-1]),
        covariance=((aa, ab), (ab, bb)),
        day_sd=float(np.sqrt(done.day_ratio[-1] * variance)),
        shot_sd=float(np.sqrt(variance)),
        dof=float(done.dof[-1]),
        n_shots=0,
        n_sessions=0,
        n_coach=0,
        n_rule=0,
        tail=Tail(stack.population.mishit_share, TAIL_MEAN, TAIL_SD),
        share_low=0.0,
        share_high=1.0,
        own_days=None,
    )


def _and(index: IntArray, further: int) -> IntArray:
    return np.append(index, further).astype(np.intp)
