"""Which swing struck which ball: two logs of one session, each on its own clock, brought together.

`pair` is the way in. The steps, one module each: clean the logs (`pairing_logs`), read what the
swing log says by itself (`pairing_evidence`), list clock offsets worth a look (`pairing_offsets`),
follow each closely (`pairing_track`), let the clock jump (`pairing_steps`; all of this in one call:
`pairing_search`), judge (`pairing_verdict`, `pairing_chance`), make one-to-one pairs
(`pairing_assign`), state the clock map (`pairing_clock`), and say what every other swing was
(`pairing_roles`, `pairing_rehearsals`).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from analytics.errors import BadQuestion
from analytics.pairing_assign import assign
from analytics.pairing_chance import beyond_chance, without_chance_jumps
from analytics.pairing_clock import ClockMap, fit_clock
from analytics.pairing_logs import Floats, Ints, LaunchLog, Side, SwingLog, launch_side, swing_side
from analytics.pairing_roles import HandRole, Rehearsal, label_roles
from analytics.pairing_search import Settled, explanations
from analytics.pairing_steps import Alignment
from analytics.pairing_track import Problem
from analytics.pairing_verdict import Judgement, Verdict, judge, too_few

PAIRING_VERSION = "3"
LEAST_CHANCE = 0.5
RIVALS_SHOWN = 5

NOT_SEEN = "no swing where the clock map puts it"
BEFORE_OR_AFTER = "outside the swing log"
NO_ROLES: Mapping[int, HandRole] = MappingProxyType({})


@dataclass(frozen=True)
class Pair:
    """A shot and the swing that struck it, as rows of the logs, with the chance of being right."""

    shot: int
    swing: int
    probability: float


@dataclass(frozen=True)
class Rival:
    """Another clock offset that was considered, and its evidence in nats."""

    offset_s: float
    log_evidence: float


@dataclass(frozen=True)
class Pairing:
    """What became of every row. Indices are rows of the logs as given."""

    verdict: Verdict
    reason: str
    mend: str
    clock: ClockMap | None = None
    rivals: tuple[Rival, ...] = ()
    pairs: tuple[Pair, ...] = ()
    rehearsals: tuple[Rehearsal, ...] = ()
    other: tuple[tuple[int, str], ...] = ()
    other_probability: tuple[float, ...] = ()
    unpaired: tuple[tuple[int, str], ...] = ()
    residual_s: tuple[float, ...] = ()


def pair(
    launch: LaunchLog,
    swings: SwingLog,
    *,
    pins: Iterable[tuple[int, int]] = (),
    forbids: Iterable[tuple[int, int]] = (),
    offset_hint_s: float | None = None,
    roles: Mapping[int, HandRole] = NO_ROLES,
) -> Pairing:
    """Pair the shots of one session with the swings of one sensor, or say why that cannot be.

    Args:
        launch: struck balls on the launch device's clock, rows in any order.
        swings: all swings on the sensor's clock, rows in any order.
        pins: (shot row, swing row) that belong together; the rest is solved around them.
        forbids: (shot row, swing row) that do not.
        offset_hint_s: sensor clock − launch clock as set by hand, right to about 5 s.
        roles: what a person said of a swing row that struck no ball, and of which shot row.

    Raises:
        BadQuestion: a pin, forbid or role names a row that is not there or has no time, or two
            pins share a row.
    """
    shots, seen = launch_side(launch), swing_side(swings)
    pinned = _indices(shots, seen, pins)
    forbidden = _indices(shots, seen, forbids)
    if len(dict(pinned)) < len(pinned) or len({k for _, k in pinned}) < len(pinned):
        raise BadQuestion("Two pins share a row.", "Pin each shot and each swing once.")
    by_hand = _roles(shots, seen, roles)
    few = too_few(len(shots), len(seen))
    if few is not None:
        return _refusal(shots, seen, few, (), pinned)
    settled = Settled(dict(pinned), frozenset(forbidden), offset_hint_s, frozenset(by_hand))
    problem, found = explanations(shots, seen, settled)
    found = without_chance_jumps(problem, found)
    judgement = beyond_chance(problem, found, judge(problem, found))
    best, *rivals = (
        Rival(float(one.tracks.offset_s[0]), one.log_evidence) for one in found[: RIVALS_SHOWN + 1]
    )
    if judgement.verdict != "paired":
        return _refusal(shots, seen, judgement, (best, *rivals), pinned)
    return _accepted(problem, found[0], judgement, tuple(rivals), by_hand)


def _indices(shots: Side, swings: Side, rows: Iterable[tuple[int, int]]) -> set[tuple[int, int]]:
    shot_at = {int(row): index for index, row in enumerate(shots.row)}
    swing_at = {int(row): index for index, row in enumerate(swings.row)}
    try:
        return {(shot_at[shot], swing_at[swing]) for shot, swing in rows}
    except KeyError as error:
        raise BadQuestion(
            f"Row {error.args[0]} cannot be paired: it is not there, has no time or is doubled.",
            "Name a shot and a swing that both have a time.",
        ) from error


def _roles(shots: Side, swings: Side, roles: Mapping[int, HandRole]) -> dict[int, HandRole]:
    """The same, by place in the sorted logs."""
    shot = int(shots.row[0]) if len(shots) else -1
    places = {}
    for row, (role, of_shot) in roles.items():
        ((at, place),) = _indices(shots, swings, [(shot if of_shot is None else of_shot, row)])
        places[place] = (role, None if of_shot is None else at)
    return places


def _accepted(
    problem: Problem, best: Alignment, judgement: Judgement, rivals: tuple[Rival, ...],
    by_hand: dict[int, HandRole],
) -> Pairing:  # fmt: skip
    shots, swings = problem.shots, problem.swings
    n = len(shots)
    near, match = best.matches(n)
    swing_of, chance = assign(near, match * judgement.posterior, len(swings))
    swing_of = np.where(chance >= LEAST_CHANCE, swing_of, -1)
    has = swing_of >= 0
    launch_s, sensor_s = shots.time[has], swings.time[swing_of[has]]
    clock = fit_clock(
        launch_s, sensor_s, best.segment(n)[has], float(shots.time[0]), judgement.margin
    )
    swing_of, chance = _with_pins(problem.pinned, swing_of, chance)
    has = swing_of >= 0
    launch_s, sensor_s = shots.time[has], swings.time[swing_of[has]]
    rehearsals, other, claim = label_roles(problem, best, swing_of, by_hand)
    return Pairing(
        judgement.verdict,
        judgement.reason,
        judgement.mend,
        clock,
        rivals,
        tuple(
            Pair(int(shots.row[j]), int(swings.row[swing_of[j]]), float(min(chance[j], 1.0)))
            for j in np.flatnonzero(has)
        ),
        tuple(_in_rows(one, shots, swings) for one in rehearsals),
        tuple((int(swings.row[k]), why) for k, why in other) + swings.left_out,
        tuple(1.0 - claim[k] for k, _ in other) + (1.0,) * len(swings.left_out),
        _unpaired(problem, clock, swing_of) + shots.left_out,
        tuple(map(float, sensor_s - clock.sensor_time(launch_s))),
    )


def _in_rows(one: Rehearsal, shots: Side, swings: Side) -> Rehearsal:
    """A rehearsal by rows of the logs as they came."""
    shot = None if one.shot is None else int(shots.row[one.shot])
    return replace(one, swing=int(swings.row[one.swing]), shot=shot)


def _with_pins(pinned: dict[int, int], swing_of: Ints, chance: Floats) -> tuple[Ints, Floats]:
    """Pairs made by hand, also those that the clock map speaks against."""
    for shot, swing in pinned.items():
        swing_of = np.where(swing_of == swing, -1, swing_of)
        swing_of[shot] = swing
        chance = chance.copy()
        chance[shot] = 1.0
    return swing_of, chance


def _unpaired(problem: Problem, clock: ClockMap, swing_of: Ints) -> tuple[tuple[int, str], ...]:
    expected: Floats = clock.sensor_time(problem.shots.time)
    time = problem.swings.time
    inside = (expected >= time[0] - 1) & (expected <= time[-1] + 1)
    return tuple(
        (int(problem.shots.row[j]), NOT_SEEN if inside[j] else BEFORE_OR_AFTER)
        for j in np.flatnonzero(swing_of < 0)
    )


def _refusal(
    shots: Side, swings: Side, judgement: Judgement, rivals: tuple[Rival, ...],
    pinned: set[tuple[int, int]],
) -> Pairing:  # fmt: skip
    """Nothing paired but what a person pinned."""
    kept = tuple(Pair(int(shots.row[j]), int(swings.row[k]), 1.0) for j, k in sorted(pinned))
    why = "the logs could not be paired"
    loose = len(swings.row) - len(kept) + len(swings.left_out)
    used_shots, used_swings = {one.shot for one in kept}, {one.swing for one in kept}
    return Pairing(
        judgement.verdict,
        judgement.reason,
        judgement.mend,
        rivals=rivals,
        pairs=kept,
        other=tuple((int(k), why) for k in swings.row if k not in used_swings) + swings.left_out,
        other_probability=(0.0,) * loose,
        unpaired=tuple((int(j), why) for j in shots.row if j not in used_shots) + shots.left_out,
        residual_s=tuple(0.0 for _ in kept),
    )
