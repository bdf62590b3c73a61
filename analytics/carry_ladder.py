"""The carry ladder: what each club and named swing length carries, from the length alone.

Rules
-----
1. A cell is a club and a swing length; its centre is the middle carry of clean strikes, day by day,
   its one-shot band where one clean ball on a fresh day lands. No speed is needed.
2. A cell needs 10 balls over 2 days; it is clear when its centre's 90 % band is within ±6 %.
"""

from dataclasses import dataclass

import numpy as np

from analytics.answer import Answer, Minimum
from analytics.carry_curve import CurveStack, curve_stack
from analytics.curve_bands import Bands, bands
from analytics.curve_cells import REFERENCE_MPS
from analytics.db import Connection
from analytics.population import Population

CELL = Minimum(10, 2)
CLEAR_HALF_WIDTH = 0.06
"""Half-width of a clear centre's 90 % band, as a share of carry."""


@dataclass(frozen=True)
class LadderCell:
    """One rung: centre, one clean ball, one ball of any kind, metres, and what it rests on.

    log_centre, log_centre_sd, dof: the centre as ln carry, for gaps; day_sd, shot_sd: of ln carry.
    n_coach, n_rule: mishits by coach and by rule.
    """

    club: str
    swing_length: str | None
    centre: Answer
    one_shot: Answer
    with_mishits: Answer
    log_centre: float
    log_centre_sd: float
    dof: float
    day_sd: float
    shot_sd: float
    n_coach: int
    n_rule: int

    @property
    def name(self) -> str:
        """`SW hip`, or `SW` where no length is named."""
        return f"{self.club} {self.swing_length}" if self.swing_length else self.club


def carry_ladder(
    con: Connection, player_id: str, level: float = 0.9, population: Population | None = None
) -> list[LadderCell]:
    """The player's cells with at least one clean ball, shortest carry first.

    Args:
        con: views of `analytics.db`.
        player_id: whose ladder; level: two-sided level of the bands.
        population: as for `carry_curves`.
    """
    found = ladders(curve_stack(con, "length", True, population), level)
    return found.get(player_id, [])


def ladders(stack: CurveStack, level: float = 0.9) -> dict[str, list[LadderCell]]:
    """The ladder of every player of a stack fitted from swing lengths alone, by player."""
    table = stack.table
    chosen = np.flatnonzero(table.n > 0)
    found = bands(stack, chosen, np.full(len(chosen), REFERENCE_MPS), level)
    by_player: dict[str, list[LadderCell]] = {}
    for k, i in enumerate(chosen):
        player = table.players[table.player[i]]
        by_player.setdefault(player, []).append(_cell(stack, int(i), found, k, level))
    for cells in by_player.values():
        cells.sort(key=lambda cell: (cell.log_centre, cell.name))
    return by_player


def _cell(stack: CurveStack, i: int, found: Bands, k: int, level: float) -> LadderCell:
    fit, table = stack.fit, stack.table
    sd = float(np.sqrt(fit.belief.covariance.aa[i]))
    shot_sd = float(np.sqrt(fit.shot_variance[i]))
    n, days = int(table.n[i]), int(table.n_sessions[i])
    half = float(found.centre[1][k] - found.middle[k])
    state = CELL.state(n, days, half <= CLEAR_HALF_WIDTH)

    def answer(middle: float, low: float, high: float) -> Answer:
        value, least, most = (float(np.exp(end)) for end in (middle, low, high))
        return Answer(
            value, least, most, "m", n, days, state, level, CELL.need(n, days), stack.fit_version
        )

    middle = float(found.middle[k])
    any_low, any_high = (float(side[k]) for side in found.with_mishits)
    return LadderCell(
        club=table.clubs[table.club[i]],
        swing_length=table.lengths[table.length[i]] or None,
        centre=answer(middle, *(float(side[k]) for side in found.centre)),
        one_shot=answer(middle, *(float(side[k]) for side in found.one_shot)),
        with_mishits=answer(float(found.any_middle[k]), any_low, any_high),
        log_centre=middle,
        log_centre_sd=sd,
        dof=float(fit.dof[i]),
        day_sd=float(np.sqrt(fit.day_ratio[i])) * shot_sd,
        shot_sd=shot_sd,
        n_coach=int(table.n_coach[i]),
        n_rule=int(table.n_rule[i]),
    )
