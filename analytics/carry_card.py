"""The carry card: what a player reads off for a season, rung by rung, with what it rests on."""

from dataclasses import dataclass
from datetime import date

from analytics.answer import FIT_VERSION, Answer
from analytics.carry_curve import carry_curves
from analytics.carry_ladder import LadderCell, carry_ladder
from analytics.db import Connection, ask
from analytics.errors import NothingYet, OutOfRange
from analytics.gaps import Judgement, gaps_between
from analytics.power_curve import CarryCurve


@dataclass(frozen=True)
class CardRow:
    """One rung: its carry, the speed that gives it, and how it stands to the next longer one.

    speed: m/s by the club's curve; None without a curve that reaches it.
    gap: judgement on the gap to the next longer rung; None for the longest.
    """

    rung: LadderCell
    speed: Answer | None
    gap: Judgement | None

    @property
    def excluded(self) -> int:
        """Balls set apart as mishits, by coach or rule."""
        return self.rung.n_coach + self.rung.n_rule


@dataclass(frozen=True)
class CarryCard:
    """Rows from the shortest carry to the longest; `level` is that of every band.

    last_day: the last day of practice in it; None when no ball has an instant.
    """

    player_id: str
    rows: list[CardRow]
    level: float
    n_shots: int
    n_excluded: int
    last_day: date | None
    fit_version: str = FIT_VERSION


def carry_card(con: Connection, player_id: str, level: float = 0.9) -> CarryCard:
    """The player's card.

    Args:
        con: views of `analytics.db`; player_id: whose card.
        level: two-sided level of the bands.

    Raises: NothingYet when no ball has a club and a carry.
    """
    ladder = carry_ladder(con, player_id, level)
    if not ladder:
        raise NothingYet(
            "There is no ball with a club and a carry yet.", "import a launch device's export."
        )
    curves = {curve.club: curve for curve in carry_curves(con, player_id)}
    steps: list[Judgement | None] = [gap.judgement for gap in gaps_between(ladder)]
    rows = [
        CardRow(rung, _speed(curves.get(rung.club), rung, level), gap)
        for rung, gap in zip(ladder, [*steps, None], strict=True)
    ]
    days = ask(con, "session_days", {"player_id": player_id}).to_pylist()
    return CarryCard(
        player_id,
        rows,
        level,
        sum(rung.centre.n_shots for rung in ladder),
        sum(row.excluded for row in rows),
        max((row["day"] for row in days), default=None),
        ladder[0].centre.fit_version,
    )


def _speed(curve: CarryCurve | None, rung: LadderCell, level: float) -> Answer | None:
    if curve is None or rung.centre.value is None:
        return None
    try:
        return curve.speed_for(rung.centre.value, level)
    except OutOfRange:
        return None
