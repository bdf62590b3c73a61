"""The balls behind a player's curves, one by one: speed, carry, and whether they count."""

from dataclasses import dataclass
from datetime import date

from analytics.curve_cells import PRIOR_EXPONENT
from analytics.db import Connection, Parameter, ask
from analytics.mishits import CUT
from analytics.population import ASSUMED


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
    """Every ball of a player with a club, a speed and a carry, in order of time."""
    asked: dict[str, Parameter] = {
        "player_id": player_id,
        "cut": CUT,
        "spread": ASSUMED.shot_sd,
        "exponent": PRIOR_EXPONENT,
    }
    return [ShotPoint(**row) for row in ask(con, "shot_points", asked).to_pylist()]
