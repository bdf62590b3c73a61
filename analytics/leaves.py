"""Where a player's chips finish, over all and by club, dry and wet greens apart."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

import numpy as np

from analytics.db import Connection, ask
from analytics.errors import NothingYet
from analytics.leave import LeaveSummary, summarise
from analytics.mark_links import LinkedMark, linked_marks
from analytics.own_putting import OwnPutting, own_putting
from analytics.putting import PuttCosts, putt_costs

NOT_LINKED = "no ball linked"

Key = TypeVar("Key", str, date)


@dataclass(frozen=True)
class Leaves:
    """Finishes of one player.

    `dry` is what is told first (dry and damp greens, or all when no day says how wet it was);
    `wet` is kept apart because wet greens stop the ball. `by_club` and `by_day` are of `dry`.
    """

    marks: tuple[LinkedMark, ...]
    dry: LeaveSummary | None
    wet: LeaveSummary | None
    by_club: dict[str, LeaveSummary]
    by_day: dict[date, LeaveSummary]
    putting: OwnPutting


def leaves(connection: Connection, player_id: str, club: str | None = None) -> Leaves:
    """Everything told about where chips finish.

    Raises: NothingYet when no finish was marked (with that club).
    """
    linked = linked_marks(connection, player_id)
    marks = [mark for mark in linked if mark.leave_m is not None and not mark.replaced]
    if club is not None:
        marks = [mark for mark in marks if mark.club == club]
    if not marks:
        raise NothingYet(
            "No finish was marked" + (f" with {club}." if club else "."),
            "enter where balls finished: carrybook mark --player NAME --ball 1 --leave '3 ft 4 in'"
            " --clock 5",
        )
    putting = player_putting(connection, player_id)
    costs = putt_costs(putting.model)
    dry = [mark for mark in marks if mark.wetness != "wet"]
    by_club = _grouped(dry, lambda mark: mark.club or NOT_LINKED)
    by_day = _grouped([mark for mark in dry if mark.day], lambda mark: mark.day or date.min)

    def summed(group: Sequence[LinkedMark]) -> LeaveSummary | None:
        return _summary(group, costs, putting)

    return Leaves(
        marks=tuple(marks),
        dry=summed(dry),
        wet=summed([mark for mark in marks if mark.wetness == "wet"]),
        by_club={name: told for name, group in by_club.items() if (told := summed(group))},
        by_day={day: told for day, group in by_day.items() if (told := summed(group))},
        putting=putting,
    )


def placed(marks: Sequence[LinkedMark]) -> list[LinkedMark]:
    """The marks that have a place around the hole: holed, or with a bearing."""
    return [m for m in marks if m.leave_m == 0 or (m.leave_m and m.leave_bearing_deg is not None)]


def _grouped(
    marks: Sequence[LinkedMark], key: Callable[[LinkedMark], Key]
) -> dict[Key, list[LinkedMark]]:
    groups: dict[Key, list[LinkedMark]] = {}
    for mark in sorted(marks, key=lambda one: str(key(one))):
        groups.setdefault(key(mark), []).append(mark)
    return groups


def player_putting(connection: Connection, player_id: str) -> OwnPutting:
    """The putting curve to judge leaves by: own when enough putts are known, else tour."""
    columns = ask(connection, "first_putts", {"player_id": player_id}).to_pydict()
    return own_putting(
        np.array(columns["leave_m"], dtype=np.float64), np.array(columns["holed"], dtype=np.bool_)
    )


def _summary(
    marks: Sequence[LinkedMark], costs: PuttCosts, putting: OwnPutting
) -> LeaveSummary | None:
    """Summary of the marks that have a bearing, or were holed; None without one."""
    there = placed(marks)
    if not there:
        return None
    leave = np.array([m.leave_m for m in there], dtype=np.float64)
    bearing = np.array(
        [np.nan if m.leave_bearing_deg is None else m.leave_bearing_deg for m in there]
    )
    n_sessions = len({m.session_id for m in there})
    return summarise(leave, bearing, n_sessions, costs, putting.model)
