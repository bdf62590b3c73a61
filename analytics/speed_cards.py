"""Speed cards that know the player: bracket from own repeatability, rehearsals' own bias."""

from collections.abc import Mapping

import numpy as np

from analytics.bracket import (
    LEAST_ON_ONE_DAY,
    correction,
    rehearsal_bias,
    repeatability_ln,
    width_to_hold_ln,
)
from analytics.carry_ladder import carry_ladder
from analytics.db import Connection
from analytics.errors import NothingYet
from analytics.feedback import Feedback
from analytics.power_curve import CarryCurve
from analytics.speed_card import NO_LENGTHS, SpeedCard, speed_card

LEAST_FREEDOM = 20


def named_lengths(con: Connection, player_id: str, club: str) -> dict[str, float]:
    """Usual carry in metres of each named swing length of a club."""
    return {
        cell.swing_length: cell.centre.value
        for cell in carry_ladder(con, player_id)
        if cell.club == club and cell.swing_length and cell.centre.value is not None
    }


def card_for(
    found: Feedback,
    curve: CarryCurve,
    target_m: float | None = None,
    lengths: Mapping[str, float] = NO_LENGTHS,
) -> SpeedCard:
    """Three swings for `target_m` metres of carry, or for the middle of the latest window.

    Raises: NothingYet without a window to aim at; OutOfRange beyond the speeds seen.
    """
    sessions = [s for s in found.read.sessions if np.isfinite(s.near_m)]
    if not sessions and target_m is None:
        raise NothingYet(
            "There is no landing window to aim at yet.", "give a carry, or import a session."
        )
    near, far = (sessions[-1].near_m, sessions[-1].far_m) if sessions else (1.0, 1.0)
    target = target_m if target_m is not None else 0.5 * (near + far)
    triples = found.read.practice.triples
    sd, freedom = repeatability_ln(triples)
    width = None
    if freedom >= LEAST_FREEDOM:
        width = 2 * target * float(np.sinh(width_to_hold_ln(sd, near, far) / 2))
    bias = correction(triples) if rehearsal_bias(triples).n_shots >= LEAST_ON_ONE_DAY else None
    return speed_card(curve, target, width, bias, lengths)
