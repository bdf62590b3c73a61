"""Everything a lesson sheet tells about one player, gathered from the store.

Nothing is computed here: each part is the answer of its own module, so that sheet, page and command
line never disagree. Parts that lack rows are None or empty, never an error.
"""

from contextlib import suppress
from dataclasses import dataclass

from analytics.carry_ladder import LadderCell, carry_ladder
from analytics.db import Connection, ask
from analytics.errors import NothingYet
from analytics.homework import GivenHomework, homework
from analytics.leaves import Leaves, leaves
from analytics.player_profile import PlayerProfile, player_profile
from analytics.scored_test import Rules
from analytics.scores import ScoreHistory, played_tests, score_history


@dataclass(frozen=True)
class Conditions:
    """What the green was like on the last day of practice; SI units, green speed in feet."""

    place: str | None
    green_speed_ft: float | None
    slope_deg: float | None
    wetness: str | None
    window_near_m: float | None
    window_far_m: float | None


@dataclass(frozen=True)
class Lesson:
    """The parts of a lesson sheet. `tests` holds the tests played whose rules are known."""

    profile: PlayerProfile
    conditions: Conditions | None
    ladder: tuple[LadderCell, ...]
    leaves: Leaves | None
    tests: tuple[ScoreHistory, ...]
    homework: tuple[GivenHomework, ...]


def lesson(connection: Connection, player_id: str, rules: dict[str, Rules]) -> Lesson:
    """Gather the sheet of one player; `rules` are the scored tests known, by name@version."""
    told = None
    with suppress(NothingYet):
        told = leaves(connection, player_id)
    played = [key for key in played_tests(connection, player_id) if key in rules]
    return Lesson(
        profile=player_profile(connection, player_id),
        conditions=_conditions(connection, player_id),
        ladder=tuple(carry_ladder(connection, player_id)),
        leaves=told,
        tests=tuple(score_history(connection, player_id, rules[key]) for key in played),
        homework=tuple(one for one in homework(connection, player_id) if one.is_open),
    )


def _conditions(connection: Connection, player_id: str) -> Conditions | None:
    rows = ask(connection, "last_conditions", {"player_id": player_id}).to_pylist()
    return Conditions(**rows[0]) if rows else None
