"""Which speed, and which named swing length, a wanted carry needs, club by club."""

from dataclasses import dataclass

from analytics.answer import Answer
from analytics.carry_curve import carry_curves, only_club
from analytics.carry_ladder import LadderCell, carry_ladder
from analytics.db import Connection
from analytics.errors import NothingYet, OutOfRange


@dataclass(frozen=True)
class Need:
    """What one club needs for a carry.

    speed: m/s with its interval; None where the club may not be asked, and `refused` says why.
    one_shot, with_mishits: where one clean ball at that speed lands, and one ball of any kind, m.
    swing_length: the named length whose usual carry comes nearest, None where none is named; its
    usual carry in metres.
    """

    club: str
    carry_m: float
    speed: Answer | None
    one_shot: Answer | None
    swing_length: str | None
    usual_carry: Answer | None
    with_mishits: Answer | None = None
    refused: str = ""


def speeds_for(
    con: Connection, player_id: str, carry_m: float, club: str | None = None, level: float = 0.9
) -> list[Need]:
    """What each club needs to carry `carry_m` metres; those that cannot be asked come last.

    Args:
        con: views of `analytics.db`.
        player_id: whose clubs; club: only this one.
        carry_m: wanted carry of the middle of clean strikes, metres, above zero.
        level: two-sided level of the intervals.

    Raises:
        NothingYet: the player has no curve at all.
        NoSuchClub: not one with that club.
        BadQuestion: a carry that is not positive.
    """
    curves = only_club(carry_curves(con, player_id), club)
    if not curves:
        raise NothingYet(
            "There is no ball with a speed and a carry yet.", "import a launch device's export."
        )
    ladder = carry_ladder(con, player_id)
    needs = []
    for curve in curves:
        length, usual = _nearest_length(ladder, curve.club, carry_m)
        try:
            speed = curve.speed_for(carry_m, level)
            assert speed.value is not None
            at = curve.carry(speed.value, level)
            found = (speed, at.one_shot, length, usual, at.with_mishits)
            needs.append(Need(curve.club, carry_m, *found))
        except OutOfRange as refusal:
            none = (None, None, length, usual, None)
            needs.append(Need(curve.club, carry_m, *none, refused=refusal.reason))
    return sorted(needs, key=lambda need: need.speed is None)


def _nearest_length(
    ladder: list[LadderCell], club: str, carry_m: float
) -> tuple[str | None, Answer | None]:
    cells = [
        cell
        for cell in ladder
        if cell.club == club and cell.swing_length is not None and cell.centre.value is not None
    ]
    if not cells:
        return None, None
    best = min(cells, key=lambda cell: abs((cell.centre.value or 0.0) - carry_m))
    return best.swing_length, best.centre
