"""The balls behind a player's curves, one by one: speed, carry, and whether they count."""

from dataclasses import dataclass
from datetime import date

import numpy as np
import pyarrow as pa

from analytics.carry_curve import ASSUMED_BY_KIND, usual_spread
from analytics.curve_cells import PRIOR_EXPONENT
from analytics.db import Connection, Parameter, ask
from analytics.mishit_rule import middle_and_reach
from analytics.mishits import CUT
from analytics.stored_population import stored_population


@dataclass(frozen=True)
class ShotPoint:
    """One ball: m/s and metres, its day, where it was read from, and who calls it a mishit."""

    event_id: str
    import_id: str
    source_line: int
    day: date | None
    club: str
    swing_length: str | None
    club_speed_mps: float
    carry_m: float
    start_right_deg: float | None
    by_coach: str
    far_off: bool

    @property
    def mishit(self) -> bool:
        """The coach's word counts; without one, the rule's."""
        return self.by_coach == "mishit" or (not self.by_coach and self.far_off)


def shot_points(con: Connection, player_id: str) -> list[ShotPoint]:
    """Every ball that the curves of a player count or set apart, in order of time.

    `far_off` is the mark of the curve's own rule (`mishit_rule`), with what is usual for the curve.
    """
    asked: dict[str, Parameter] = {"player_id": player_id, "exponent": PRIOR_EXPONENT}
    balls = ask(con, "shot_points", asked, views="strikes")
    usual = stored_population(con, "club", False) or ASSUMED_BY_KIND["club"]
    far_off = _far_off(balls, usual_spread(usual))
    rows = balls.drop_columns("level").to_pylist()
    return [ShotPoint(**row, far_off=far) for row, far in zip(rows, far_off, strict=True)]


def _far_off(balls: pa.Table, usual_sd: float) -> list[bool]:
    """The rule's mark of each ball; none where the coach called all balls of a club mishits."""
    clubs, club = np.unique(balls["club"].to_numpy(), return_inverse=True)
    level = balls["level"].to_numpy()
    heard = np.flatnonzero(balls["by_coach"].to_numpy() != "mishit")
    heard = heard[np.argsort(club[heard], kind="stable")]
    size = np.bincount(club[heard], minlength=len(clubs))
    middle, reach = middle_and_reach(level[heard], size, CUT, usual_sd)
    reach = np.where(size > 0, reach, np.inf)
    return [bool(far) for far in np.abs(level - middle[club]) > reach[club]]
