"""Carry curves of a player, or of a whole store: rows by DuckDB, algebra in closed form.

con = open_store(store, "ana1")
for curve in carry_curves(con, "ana1"):
    print(curve.club, curve.carry(8.0).value)
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from analytics.answer import FIT_VERSION
from analytics.attenuation import correct, for_readings, repeat_error
from analytics.curve_cells import PRIOR_EXPONENT
from analytics.curve_fit import CurveFit, fit
from analytics.curve_rows import curve_rows
from analytics.curve_table import CurveTable, curve_table, own_days
from analytics.db import Connection, Parameter, ask
from analytics.errors import BadQuestion, NoSuchClub
from analytics.mishits import Tail, tails_of
from analytics.pooling import Step
from analytics.population import ASSUMED, Population
from analytics.population_learning import (
    LEARN_LEAST,
    learn_population,
    players_to_learn_from,
)
from analytics.power_curve import NOT_CORRECTED, CarryCurve, CurveSpeed
from analytics.share import wilson
from analytics.stored_population import stored_population

SpeedKind = CurveSpeed | Literal["length"]

ASSUMED_BY_KIND = {
    "club": ASSUMED,
    "ball": replace(ASSUMED, shot_sd=0.06),
    "sensor": replace(ASSUMED, root=Step(0.5**2, 0.06**2), shot_sd=0.09),
    "length": replace(
        ASSUMED,
        root=Step(0.5**2, 0.0),
        players=Step(0.2**2, 0.0),
        clubs=Step(0.2**2, 0.0),
        lengths=Step(0.35**2, 0.0),
        shot_sd=0.12,
    ),
}
"""What is assumed of each kind of speed; a sensor's own scale may be far from the club's. `length`
has no speed at all: a named swing length alone, whose speed varies too."""


@dataclass(frozen=True)
class CurveStack:
    """All curves of a store as arrays: what `carry_curves` makes single curves of."""

    table: CurveTable
    fit: CurveFit
    population: Population
    speed_kind: SpeedKind
    speed_error: str

    def __len__(self) -> int:
        return len(self.table.n)

    @property
    def fit_version(self) -> str:
        """Version of the computations, and of what was learnt of other players where it was."""
        learnt = self.population.version
        return f"{FIT_VERSION}+{learnt}" if learnt else FIT_VERSION

    def tails(self) -> Tail:
        """Share and place of the mishits of all curves."""
        table = self.table
        marked = table.n_coach + table.n_rule
        before = (self.population.mishit_share, self.population.mishit_worth)
        return tails_of(marked, table.n + marked, table.off_mean, table.off_sd, before)

    def curve(self, i: int) -> CarryCurve:
        """The i-th curve."""
        if self.speed_kind == "length":
            raise BadQuestion(
                "A swing length alone has no curve of speed.", "ask for the carry ladder."
            )
        table, belief = self.table, self.fit.belief
        aa, ab, bb = (float(part[i]) for part in belief.covariance.parts)
        shot_variance = float(self.fit.shot_variance[i])
        tail = self.tails()
        marked = int(table.n_coach[i] + table.n_rule[i])
        share_low, share_high = wilson(marked, int(table.n[i]) + marked)
        loft = float(table.loft_deg[i])
        return CarryCurve(
            player_id=table.players[table.player[i]],
            club=table.clubs[table.club[i]],
            swing_length=table.lengths[table.length[i]] if table.length[i] >= 0 else None,
            speed_kind=self.speed_kind,
            loft_deg=None if np.isnan(loft) else loft,
            log_level=float(table.prior_level[i] + belief.level[i]),
            exponent=float(PRIOR_EXPONENT + belief.exponent[i]),
            covariance=((aa, ab), (ab, bb)),
            day_sd=float(np.sqrt(self.fit.day_ratio[i] * shot_variance)),
            shot_sd=float(np.sqrt(shot_variance)),
            dof=float(self.fit.dof[i]),
            speed_low_mps=float(table.speed_low[i]),
            speed_high_mps=float(table.speed_high[i]),
            speed_middle_mps=float(10 * np.exp(table.mean_x[i])),
            n_shots=int(table.n[i]),
            n_sessions=int(table.n_sessions[i]),
            n_coach=int(table.n_coach[i]),
            n_rule=int(table.n_rule[i]),
            tail=Tail(*(float(np.asarray(part)[i]) for part in (tail.share, tail.mean, tail.sd))),
            own_days=own_days(self.table, i),
            share_low=share_low,
            share_high=share_high,
            speed_error=self.speed_error,
            n_players=self.population.n_players,
            fit_version=self.fit_version,
        )


def carry_curves(
    con: Connection,
    player_id: str,
    speed_kind: CurveSpeed = "club",
    by_swing_length: bool = False,
    population: Population | None = None,
    *,
    speed_error_sd: float | None = None,
) -> list[CarryCurve]:
    """Carry curves of one player, one per club, or per club and swing length.

    Args:
        con: views of `analytics.db` over this player, or over everybody.
        player_id: whose curves.
        speed_kind: whose speed they read: club, ball, or the sensor's own peak.
        by_swing_length: one curve per club and named swing length.
        population: what is known of players beforehand; None takes what the store has learnt, or
            learns it from the players `con` holds where they are enough, or assumes it.
        speed_error_sd: repeat error of the device's speed as a share (0.02 for 2 %); None
            estimates it from the player's paired strikes where they are enough.

    Returns: curves of clubs with at least one clean ball, by club then swing length.
    """
    stack = curve_stack(con, speed_kind, by_swing_length, population, speed_error_sd)
    return [
        stack.curve(i)
        for i in range(len(stack))
        if stack.table.n[i] > 0 and stack.table.players[stack.table.player[i]] == player_id
    ]


def only_club(curves: list[CarryCurve], club: str | None) -> list[CarryCurve]:
    """Those of one club; all when `club` is None. Raises NoSuchClub when there is none."""
    found = [curve for curve in curves if club in {None, curve.club}]
    if club is not None and not found:
        raise NoSuchClub(
            f"There is no ball with {club!r} for this player that has a speed and a carry.",
            "list the clubs with `carrybook curve`.",
        )
    return found


def carry_curve(
    con: Connection, player_id: str, club: str, speed_kind: CurveSpeed = "club"
) -> CarryCurve:
    """The curve of one club. Raises NoSuchClub when the player has no clean ball with it."""
    return only_club(carry_curves(con, player_id, speed_kind), club)[0]


def curve_stack(
    con: Connection,
    speed_kind: SpeedKind = "club",
    by_swing_length: bool = False,
    population: Population | None = None,
    speed_error_sd: float | None = None,
) -> CurveStack:
    """Curves of everybody whose rows `con` holds, pooled over clubs and players.

    Args: as `carry_curves`.
    """
    known = population or stored_population(con, speed_kind, by_swing_length)
    usual = known or ASSUMED_BY_KIND[speed_kind]
    table = curve_table(
        judged_rows(con, speed_kind, by_swing_length, usual), speed_kind, by_swing_length
    )
    if known is None and players_to_learn_from(table) >= LEARN_LEAST:
        usual = learn_population(table, usual)
    known = usual
    one_device = speed_kind == "club" and len(table.players) == 1
    error_sd, words = _speed_error(con, one_device, speed_error_sd)
    if not error_sd:
        return CurveStack(table, fit(table.cells, table.tree, known), known, speed_kind, words)
    cells, kept = correct(table.cells, error_sd, len(table.n))
    done = for_readings(fit(cells, table.tree, known), error_sd, kept)
    return CurveStack(table, done, known, speed_kind, words)


def judged_rows(
    con: Connection, speed_kind: SpeedKind, by_swing_length: bool, usual: Population
) -> pa.Table:
    """Clean balls counted and mishits set apart, one row per curve × session (`curve_rows`).

    Where anybody stated surfaces, balls off another than the one in play are left out. `usual`
    says what spread is where the balls do not.
    """
    asked: dict[str, Parameter] = {
        "strikes": f"strikes_{speed_kind}",
        "by_swing_length": by_swing_length,
        "exponent": PRIOR_EXPONENT,
    }
    balls = ask(con, "carry_curve", asked, views="strikes")
    if pc.any(balls["said_surface"]).as_py():
        asked["strikes"] = f"in_play_{speed_kind}"
        balls = ask(con, "carry_curve", asked, views="strikes")
    return curve_rows(balls, usual_spread(usual))


def usual_spread(usual: Population) -> float:
    """SD of ln carry, shots and days together, of a curve whose own balls do not tell."""
    return float(usual.shot_sd * np.sqrt(1 + usual.day_ratio))


def _speed_error(con: Connection, one_device: bool, stated: float | None) -> tuple[float, str]:
    """The error to correct for (0: none), and what to say of it.

    It is estimated from paired strikes of one player only: others may have another device.
    """
    if stated is not None:
        if not 0 <= stated < 0.3:
            raise BadQuestion(
                f"A repeat error of {stated} is no share of a speed.", "give 0.02 for 2 %."
            )
        return stated, f"corrected for a stated repeat error of {100 * stated:.1f} %"
    found = repeat_error(con) if one_device else None
    if found is None:
        return 0.0, NOT_CORRECTED
    size = f"{100 * found.sd:.1f} %"
    if found.usable:
        return found.sd, f"corrected for a repeat error of {size}, from {found.n_strikes} strikes"
    doubt = f"{size} ± {100 * found.standard_error:.1f} %" if found.sd > 0 else "none seen"
    return 0.0, f"not corrected: {found.n_strikes} paired strikes do not tell it ({doubt})"
