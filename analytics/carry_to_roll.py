"""How far a chip runs for what it carries, per club and green speed.

Rules
-----
1. The ratio is total run over total carry, with Fieller's interval; days are counted, not balls,
   once there are three. It is learnt from the player's own balls only.
2. Balls keep the green speed they were seen on, to the whole foot. For another green speed the
   run is scaled in proportion (a rolling ball's deceleration is inversely proportional to the
   stimpmeter reading), and the answer says so.
3. Each ratio is that of clean balls; beside it stands that of all balls, those called mishits by a
   coach counted in.
4. Runs come from the launch device, or from marks of landing and finish linked to the ball; a ball
   with both counts once, by its marks.

Source of the proportion: USGA stimpmeter, release at 6.00 ft/s, deceleration 18 / reading ft/s².
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from scipy import special

from analytics.answer import CENTRE, Answer
from analytics.db import Connection, ask, sql
from analytics.errors import BadQuestion
from analytics.landing import finish_from_leave
from analytics.mark_links import LinkedMark, linked_marks
from analytics.ratio import ratio_of_means
from analytics.regression import lines

CLEAR_HALF_WIDTH = 0.15
"""A ratio is clear when its 90 % band is within ±15 % of it."""


@dataclass(frozen=True)
class Run:
    """One ball: carry and run in metres, on a green of this speed (None: not noted).

    mishit: whether a coach called it one.
    """

    club: str
    session_id: str
    carry_m: float
    run_m: float
    green_speed_ft: float | None
    wet: bool
    mishit: bool = False


@dataclass(frozen=True)
class RollRatio:
    """Run over carry for one club on one green speed; `scaled` says it was scaled to that speed.

    ratio, means and n_wet are of clean balls; with_mishits: the ratio of all balls, n_mishits more.

    steady: False when the run does not grow in proportion to the carry, so that one ratio does not
    hold for short and long alike; None when that cannot be said.
    """

    club: str
    green_speed_ft: float | None
    ratio: Answer
    mean_carry_m: float
    mean_run_m: float
    n_wet: int
    scaled: bool
    with_mishits: Answer
    n_mishits: int = 0
    steady: bool | None = None


def carry_to_roll(
    con: Connection, player_id: str, green_speed_ft: float | None = None, level: float = 0.9
) -> list[RollRatio]:
    """Ratios by club and green speed, or by club at the green speed asked for.

    Args:
        con: views of `analytics.db`; player_id: whose balls.
        green_speed_ft: scale all runs to this stimpmeter reading, 3 to 16 ft.

    Raises: BadQuestion for a green speed no green has.
    """
    if green_speed_ft is not None and not 3 <= green_speed_ft <= 16:
        raise BadQuestion(f"No green is {green_speed_ft:g} ft fast.", "give 3 to 16 ft.")
    found = ratios(_all_runs(con, player_id), green_speed_ft, level)
    steady = steady_clubs(con, player_id)
    return [replace(one, steady=steady.get(one.club)) for one in found]


def player_runs(con: Connection, player_id: str) -> list[Run]:
    """Every clean ball of a player with a carry and a run, each once; marks outrank the device."""
    return [run for run in _all_runs(con, player_id) if not run.mishit]


def _all_runs(con: Connection, player_id: str) -> list[Run]:
    marked = list(_marked_runs(con, player_id))
    seen = {event_id for event_id, _ in marked}
    runs = [run for _, run in marked]
    return runs + [run for event_id, run in _device_runs(con, player_id) if event_id not in seen]


def steady_clubs(con: Connection, player_id: str) -> dict[str, bool]:
    """By club with 10 runs of the device's: whether a line of run on carry passes near the origin.

    Not steady is said only at 99 %, by Student's t of the line's level.
    """
    con.execute(sql("run_points"))
    mine = f"{player_id} "
    return {
        line.series.removeprefix(mine): abs(line.level)
        <= float(special.stdtrit(line.n - 2, 0.995)) * line.level_se
        for line in lines(con, "run_points")
        if line.series.startswith(mine) and line.n >= CENTRE.shots
    }


def ratios(
    runs: Iterable[Run], green_speed_ft: float | None = None, level: float = 0.9
) -> list[RollRatio]:
    """The same from balls that are already there."""
    cells: dict[tuple[str, float | None], list[Run]] = {}
    for run in runs:
        if green_speed_ft is None:
            known = run.green_speed_ft
            cells.setdefault((run.club, None if known is None else round(known)), []).append(run)
        elif run.green_speed_ft is not None:
            cells.setdefault((run.club, green_speed_ft), []).append(_scaled(run, green_speed_ft))
    ordered = sorted(cells.items(), key=lambda item: (item[0][0], item[0][1] or 0.0))
    return [
        _ratio(club, speed, group, green_speed_ft is not None, level)
        for (club, speed), group in ordered
        if not all(run.mishit for run in group)
    ]


def _scaled(run: Run, green_speed_ft: float) -> Run:
    assert run.green_speed_ft is not None
    factor = green_speed_ft / run.green_speed_ft if run.run_m > 0 else 1.0
    return replace(run, run_m=run.run_m * factor, green_speed_ft=green_speed_ft)


def _ratio(
    club: str, green_speed_ft: float | None, group: list[Run], scaled: bool, level: float
) -> RollRatio:
    clean = [run for run in group if not run.mishit]
    return RollRatio(
        club=club,
        green_speed_ft=green_speed_ft,
        ratio=_run_over_carry(clean, level),
        mean_carry_m=float(np.mean([run.carry_m for run in clean])),
        mean_run_m=float(np.mean([run.run_m for run in clean])),
        n_wet=sum(run.wet for run in clean),
        scaled=scaled,
        with_mishits=_run_over_carry(group, level),
        n_mishits=len(group) - len(clean),
    )


def _run_over_carry(group: list[Run], level: float) -> Answer:
    carry = np.array([run.carry_m for run in group])
    run_m = np.array([run.run_m for run in group])
    _, day = np.unique([run.session_id for run in group], return_inverse=True)
    found = ratio_of_means(run_m, carry, day, level)
    decided = (
        found.low is not None
        and found.high is not None
        and found.high - found.low <= 2 * CLEAR_HALF_WIDTH * abs(found.value)
    )
    return Answer(
        found.value,
        found.low,
        found.high,
        "1",
        found.n,
        found.n_days,
        CENTRE.state(found.n, found.n_days, decided),
        level,
        CENTRE.need(found.n, found.n_days),
    )


def _device_runs(con: Connection, player_id: str) -> Iterable[tuple[str, Run]]:
    for row in ask(con, "carry_to_roll", {"player_id": player_id}).to_pylist():
        run = Run(
            row["club"],
            row["session_id"],
            row["carry_m"],
            row["run_m"],
            row["green_speed_ft"],
            row["wetness"] == "wet",
            row["mishit"],
        )
        yield row["event_id"], run


def _marked_runs(con: Connection, player_id: str) -> Iterable[tuple[str, Run]]:
    hole = {
        row["session_id"]: row
        for row in ask(con, "session_holes", {"player_id": player_id}).to_pylist()
    }
    for mark in linked_marks(con, player_id):
        day = hole.get(mark.session_id)
        run_m = _run_from_mark(mark, day["hole_m"], day["edge_m"]) if day else None
        if run_m is None or mark.club is None or mark.shot_event_id is None:
            continue
        carry_m = mark.carry_m
        if not carry_m or mark.replaced:
            continue
        yield (
            mark.shot_event_id,
            Run(
                mark.club,
                mark.session_id,
                carry_m,
                run_m,
                mark.green_speed_ft,
                mark.wetness == "wet",
                mark.strike == "mishit",
            ),
        )


def _run_from_mark(mark: LinkedMark, hole_m: float | None, edge_m: float | None) -> float | None:
    """Run along the line of play from landing to finish, metres."""
    parts = (hole_m, edge_m, mark.land_past_edge_m, mark.leave_m, mark.leave_bearing_deg)
    if any(part is None for part in parts):
        return None
    assert hole_m is not None
    assert edge_m is not None
    assert mark.land_past_edge_m is not None
    _, long_m = finish_from_leave(
        np.array([hole_m]),
        np.array([mark.leave_m], dtype=float),
        np.array([mark.leave_bearing_deg], dtype=float),
        np.array([mark.fall_line_deg or 0.0]),
    )
    return float(long_m[0]) - (edge_m + mark.land_past_edge_m)
