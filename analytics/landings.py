"""Where a player's balls start, land and stop: window, gate, direction, miss, mishits, lies."""

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from analytics.answer import CENTRE, Answer
from analytics.bivariate import main_axes, radius_holding
from analytics.clustered import mean_over_shots, session_means
from analytics.discovery import Finding
from analytics.estimate_answers import level_answer, share_answer, spread_answer
from analytics.feedback import Feedback
from analytics.landing import (
    GATE_PAST_EDGE_M,
    GATE_WIDTH_M,
    Gate,
    Hand,
    best_share,
    inside,
    push_deg,
)
from analytics.lie_contact import (
    LieShots,
    LieStrikes,
    LowPointRoom,
    low_point_room,
    strikes_by_lie,
)
from analytics.miss_split import MissSplit, miss_split
from analytics.row_columns import flags, numbers

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

OUTCOME = ("landing_centre", "landing_change", "landing_spread")
DIRECTION = ("start_side", "start_change", "start_spread")
CONTACT = ("mishit_share",)


@dataclass(frozen=True)
class WindowShare:
    """Balls that landed in the window, all and clean, and the best the spread allows."""

    session_id: str | None
    day: date | None
    near_m: float
    far_m: float
    window_given: bool
    inside: Answer
    inside_clean: Answer
    best: Answer


@dataclass(frozen=True)
class GateShare:
    """Balls through the start gate; `angle_deg` is what it allows to either side."""

    width_m: float
    distance_m: float
    given: bool
    angle_deg: float
    through: Answer
    best: Answer


@dataclass(frozen=True)
class LieContact:
    """Strikes from one kind of lie, and the low point's room at their usual approach."""

    strikes: LieStrikes
    mishit_share: Answer
    room: LowPointRoom | None


@dataclass(frozen=True)
class Landings:
    """What a player's landings show; metres and degrees.

    start_right_deg: + right of the target. push_deg: + push, − pull, for this player's hand.
    half_within_m, most_within_m: circle around the player's own middle that holds 50 % and 95 %.
    """

    player_id: str
    hand: Hand
    days: tuple[WindowShare, ...]
    latest: WindowShare | None
    landing_error_m: Answer
    landing_spread_m: Answer
    gate: GateShare
    start_right_deg: Answer
    push_deg: Answer
    start_spread_deg: Answer
    half_within_m: float | None
    most_within_m: float | None
    miss: MissSplit
    mishit_share: Answer
    mishits_by_coach: int
    lies: tuple[LieContact, ...]
    outcome: tuple[Finding, ...]
    direction: tuple[Finding, ...]
    contact: tuple[Finding, ...]


def landings(found: Feedback) -> Landings:
    """The landings in a player's feedback."""
    shots = found.read.practice.shots
    hand = found.read.practice.hand
    clean = ~shots.mishit
    start = np.where(clean, shots.start_right_deg, np.nan)
    days = tuple(
        _window_of(found, number)
        for number in np.unique(shots.session).tolist()
        if np.isfinite(found.read.sessions[number].near_m)
    )
    half, most = _circles(found)
    return Landings(
        player_id=found.read.player_id,
        hand=hand,
        days=days,
        latest=days[-1] if days else None,
        landing_error_m=level_answer(
            mean_over_shots(shots.aimed_error_m, shots.session), "m", CENTRE, 0.15
        ),
        landing_spread_m=_spread(shots.clean_error_m, found, "m"),
        gate=_gate(found, start),
        start_right_deg=level_answer(mean_over_shots(start, shots.session), "deg", CENTRE, 0.5),
        push_deg=level_answer(
            mean_over_shots(push_deg(start, hand), shots.session), "deg", CENTRE, 0.5
        ),
        start_spread_deg=_spread(start, found, "deg"),
        half_within_m=half,
        most_within_m=most,
        miss=miss_split(found.read),
        mishit_share=share_answer(int(shots.mishit.sum()), shots.mishit.size, len(days)),
        mishits_by_coach=int(flags(found.read.balls, "mishit_by_coach").sum()),
        lies=tuple(_lies(found)),
        outcome=found.some(*OUTCOME),
        direction=found.some(*DIRECTION),
        contact=found.some(*CONTACT),
    )


def _spread(values: Floats, found: Feedback, unit: str) -> Answer:
    """Scatter within days, each about its own middle, pooled."""
    means = session_means(values, found.read.practice.shots.session)
    n, k = int(means.count.sum()), means.count.size
    freedom = n - k
    sd = float(np.sqrt(means.within_ss / freedom)) if freedom > 0 else float("nan")
    return spread_answer(sd, freedom, (n, k), unit)


def _window_of(found: Feedback, number: int) -> WindowShare:
    shots, session = found.read.practice.shots, found.read.sessions[number]
    rows = shots.session == number
    hit = inside(shots.carry_m, shots.near_m, shots.far_m) & rows
    clean = rows & ~shots.mishit
    errors = shots.clean_error_m[rows]
    known = errors[np.isfinite(errors)]
    sd = float(np.std(known, ddof=1)) if known.size > 1 else float("nan")
    spread = spread_answer(sd, known.size - 1, (known.size, 1), "m")
    return WindowShare(
        session_id=session.session_id,
        day=session.day,
        near_m=session.near_m,
        far_m=session.far_m,
        window_given=session.window_given,
        inside=share_answer(int(hit.sum()), int(rows.sum()), 1),
        inside_clean=share_answer(int((hit & clean).sum()), int(clean.sum()), 1),
        best=_best(spread, session.near_m, session.far_m),
    )


def _best(spread: Answer, near: float, far: float) -> Answer:
    """Best share as an answer: the wider the spread may be, the lower the share."""
    ends = (spread.value, spread.high, spread.low)
    value, low, high = (None if s is None else best_share(s, near, far) for s in ends)
    return Answer(
        value,
        low,
        high,
        "1",
        spread.n_shots,
        spread.n_sessions,
        spread.state,
        spread.level,
        spread.need,
    )


def _gate(found: Feedback, start: Floats) -> GateShare:
    """The gate of the latest day that has one; every ball is held against it."""
    balls = found.read.balls
    width, distance = numbers(balls, "gate_width_m"), numbers(balls, "gate_distance_m")
    edge = numbers(balls, "edge_m")
    stated = np.flatnonzero(np.isfinite(width) & np.isfinite(distance))
    if stated.size:
        gate = Gate(float(width[stated[-1]]), float(distance[stated[-1]]))
    else:
        known = edge[np.isfinite(edge)]
        gate = Gate(GATE_WIDTH_M, (float(known[-1]) if known.size else 0.0) + GATE_PAST_EDGE_M)
    known_start = start[np.isfinite(start)]
    through = int(gate.passed(known_start).sum())
    spread = _spread(start, found, "deg")
    return GateShare(
        gate.width_m,
        gate.distance_m,
        bool(stated.size),
        gate.angle_deg,
        share_answer(through, known_start.size, spread.n_sessions),
        _best(spread, -gate.angle_deg, gate.angle_deg),
    )


def _circles(found: Feedback) -> tuple[float | None, float | None]:
    balls, aimed = found.read.balls, found.read.aimed
    side = numbers(balls, "side_m")[aimed]
    shots = found.read.practice.shots
    both = np.column_stack([side, shots.clean_error_m])
    kept = both[np.isfinite(both).all(axis=1)]
    if kept.shape[0] < CENTRE.shots:
        return None, None
    major, minor = main_axes(np.cov(kept, rowvar=False))
    if major <= 0:
        return None, None
    return radius_holding(0.5, major, minor), radius_holding(0.95, major, minor)


def _lies(found: Feedback) -> list[LieContact]:
    """All balls by lie, not only those at the window; nothing while no lie was ever noted."""
    balls = found.read.balls
    slope = numbers(balls, "slope_of_lie_deg")
    if not np.isfinite(slope).any():
        return []
    groups = strikes_by_lie(
        LieShots(
            found.read.session_of_ball,
            slope,
            numbers(balls, "attack_deg"),
            numbers(balls, "ball_to_club_ratio"),
            numbers(balls, "carry_residual_ln"),
            flags(balls, "mishit"),
        )
    )
    return [
        LieContact(
            group,
            share_answer(group.n_mishit, group.n_shots, group.n_sessions),
            _room(group),
        )
        for group in groups
    ]


def _room(group: LieStrikes) -> LowPointRoom | None:
    approach = group.attack_to_turf_deg.value
    return low_point_room(approach, 0.0) if np.isfinite(approach) else None
