"""What is open with a player, from everything the store knows: what to work on, what is missing.

Rules
-----
1. From the feedback only its one focus is taken: it is chosen there, judged with all the rest.
2. Where chips finish counts once there are twenty marks: at stake is what a fifth shorter leave
   would save in putts, certain as far as the low-side share stays away from being good already.
3. Clubs played on at least one day whose curve is too early say how many balls they lack.
"""

from contextlib import suppress
from dataclasses import dataclass

import numpy as np
from scipy import stats

from analytics.answer import CURVE, SHARE
from analytics.carry_curve import carry_curves
from analytics.db import Connection
from analytics.errors import NothingYet
from analytics.feedback import Feedback, feedback
from analytics.focus import WITHOUT_A_FIND
from analytics.landing import Gate, inside
from analytics.leave import LeaveSummary
from analytics.leaves import Leaves, leaves
from analytics.practice_plan import Missing, OpenPoint
from analytics.putting import putt_costs

FINDING_WORDS = {
    "landing_centre": "balls land off the window's middle",
    "landing_spread": "the landing spread is the largest cost",
    "start_side": "balls start to one side of the target",
    "start_spread": "start directions spread",
    "bracket_fit": "the rehearsal bracket does not fit the window",
    "bracket_held": "the bracket holds the window too seldom",
    "tempo_drift": "the tempo changes within a session",
    "tempo_rehearsal": "rehearsals run at another tempo than strikes",
    "mishit_share": "mishits cost the most",
}
GOOD_LOW_SIDE = 0.6
SHORTER = 0.8


@dataclass(frozen=True)
class OpenPoints:
    """Everything open: points to work on and balls that answers still lack."""

    points: tuple[OpenPoint, ...]
    missing: tuple[Missing, ...]


def open_points(connection: Connection, player_id: str) -> OpenPoints:
    """What is open with a player; both lists may be empty."""
    found = feedback(connection, player_id)
    points = _from_focus(found)
    with suppress(NothingYet):
        points += _from_leaves(leaves(connection, player_id))
    return OpenPoints(tuple(points), tuple(_missing(connection, player_id)))


def _from_focus(found: Feedback) -> list[OpenPoint]:
    focus = found.focus
    if focus.key in WITHOUT_A_FIND:
        return []
    why = FINDING_WORDS.get(focus.key, focus.key.replace("_", " "))
    return [
        OpenPoint(
            focus.part, why, focus.strokes, focus.certainty, hit_rate=_hit_rate(found, focus.part)
        )
    ]


def _hit_rate(found: Feedback, part: str) -> float | None:
    """Present share of hits in the test of a part, from the balls played at the window."""
    shots = found.read.practice.shots
    if part == "landing":
        known = np.isfinite(shots.carry_m) & np.isfinite(shots.near_m)
        hits = inside(shots.carry_m, shots.near_m, shots.far_m)[known]
    elif part == "direction":
        known = np.isfinite(shots.start_right_deg)
        hits = Gate().passed(shots.start_right_deg)[known]
    else:
        return None
    return float(hits.mean()) if hits.size >= SHARE.shots else None


def _from_leaves(told: Leaves) -> list[OpenPoint]:
    if told.dry is None or told.dry.n_shots < SHARE.shots:
        return []
    costs = putt_costs(told.putting.model)
    leave = np.array([m.leave_m for m in told.marks if m.wetness != "wet"], dtype=np.float64)
    saved = float((costs.expected(leave) - costs.expected(SHORTER * leave)).mean())
    return [
        OpenPoint(
            "leave",
            "chips finish above the hole or far from it too often",
            saved,
            _low_side_lacking(told.dry),
            hit_rate=told.dry.leave_zone.value,
        )
    ]


def _low_side_lacking(told: LeaveSummary) -> float:
    """Chance that the true share below the hole is not good yet; a flat prior before the marks."""
    below = told.below
    hits = round((below.value or 0.0) * below.n_shots)
    return float(stats.beta.cdf(GOOD_LOW_SIDE, 1 + hits, 1 + below.n_shots - hits))


def _missing(connection: Connection, player_id: str) -> list[Missing]:
    return [
        Missing(
            curve.club,
            max(CURVE.shots - curve.n_shots, CURVE.shots // 2),
            f"the carry curve of {curve.club} is too early: {curve.need}",
        )
        for curve in carry_curves(connection, player_id)
        if curve.state == "too_early"
    ]
