"""Everything that a session report looks at, in one list, judged together.

Rules
-----
1. The list is the same for every player and every session: nothing is looked at in secret, and
   nothing is added because it looked striking.
2. Process (bracket, tempo) and outcome (landing, direction) stand apart. That one changed while
   the other did not, or both did, is told; that one made the other is not.
3. `matters` is the smallest effect worth a lesson: common practice, no source.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.answer import CHANGE, HABIT, Minimum
from analytics.bracket import (
    Triples,
    bracket_odds,
    correction,
    only,
    rehearsal_bias,
    repeatability_ln,
    width_to_hold_ln,
)
from analytics.clustered import Estimate, mean_over_sessions
from analytics.discovery import Finding, Kind, Looked, judge
from analytics.landing import push_deg
from analytics.practice import Practice
from analytics.session_values import change, change_of_spread, log_spreads, means
from analytics.stakes import metres_at_stake
from analytics.tempo import drift, link_to_miss, rehearsal_against_strike

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Tile:
    """How one thing is looked at: its kind, unit, smallest effect that matters, and estimate."""

    key: str
    kind: Kind
    unit: str
    matters: float
    estimate: Callable[[Practice], Estimate]

    @property
    def minimum(self) -> Minimum:
        """A change and a habit need six sessions, a link is a habit of its own."""
        return CHANGE if self.kind == "change" else HABIT


def _sessions(practice: Practice) -> int:
    return int(practice.days.size)


def _bracket_width(practice: Practice) -> Estimate:
    bias = correction(practice.triples)
    width = bracket_odds(practice.triples, bias).width_m
    per = means(width, practice.triples.session, _sessions(practice))
    return change(per, practice.days)


def _bracket_held(practice: Practice) -> Estimate:
    bias = correction(practice.triples)
    held = bracket_odds(practice.triples, bias).window_held
    return change(means(held, practice.triples.session, _sessions(practice)), practice.days)


def bracket_fit(practice: Practice) -> Estimate:
    """ln of the bracket's width over the width that holds the window 95 times in 100.

    Each session is held against the repeatability of that session, so that the doubt about the
    repeatability is in the scatter of the sessions.
    """
    t, k = practice.triples, _sessions(practice)
    width = means(t.long_ln - t.short_ln, t.session, k)
    window = means(np.log(t.far_m / t.near_m), t.session, k)
    scatter = np.array([_repeatability_of(t, session) for session in range(k)])
    aim = window.value + width_to_hold_ln(1.0, 1.0, 1.0) * scatter
    with np.errstate(invalid="ignore"):
        fit = np.log(np.clip(width.value, 1e-3, None) / aim)
    return mean_over_sessions(fit, np.arange(k)).of_shots(width.n_shots)


def _repeatability_of(triples: Triples, session: int) -> float:
    sd, freedom = repeatability_ln(only(triples, triples.session == session))
    return sd if freedom >= 8 else float("nan")


def _speed_bias(practice: Practice) -> Estimate:
    per_speed = 1 / practice.speed_exponent
    seen = rehearsal_bias(practice.triples)
    return seen.through(lambda ln: np.expm1(ln * per_speed), per_speed)


def _tempo_change(practice: Practice) -> Estimate:
    struck = ~practice.tempo.rehearsal
    logs = practice.tempo.ln_ratio[struck]
    per = means(logs, practice.tempo.session[struck], _sessions(practice))
    return change_of_spread(per, practice.days)


def _landing_centre(practice: Practice) -> Estimate:
    return mean_over_sessions(practice.shots.aimed_error_m, practice.shots.session)


def _landing_drift(practice: Practice) -> Estimate:
    shots = practice.shots
    return change(means(shots.aimed_error_m, shots.session, _sessions(practice)), practice.days)


def _landing_spread(practice: Practice) -> Estimate:
    shots = practice.shots
    logs = log_spreads(shots.clean_error_m, shots.session, _sessions(practice))
    return change_of_spread(logs, practice.days)


def _push(practice: Practice) -> Floats:
    clean = np.where(practice.shots.mishit, np.nan, practice.shots.start_right_deg)
    return push_deg(clean, practice.hand)


def _start_side(practice: Practice) -> Estimate:
    return mean_over_sessions(_push(practice), practice.shots.session)


def _start_change(practice: Practice) -> Estimate:
    per = means(_push(practice), practice.shots.session, _sessions(practice))
    return change(per, practice.days)


def _start_spread(practice: Practice) -> Estimate:
    logs = log_spreads(_push(practice), practice.shots.session, _sessions(practice))
    return change_of_spread(logs, practice.days)


def _mishits(practice: Practice) -> Estimate:
    per = means(practice.shots.mishit.astype(float), practice.shots.session, _sessions(practice))
    return change(per, practice.days)


def _link_far(practice: Practice) -> Estimate:
    s = practice.shots
    return link_to_miss(s.tempo_ln, s.clean_error_m, s.ball, s.session)


def _link_wide(practice: Practice) -> Estimate:
    s = practice.shots
    return link_to_miss(s.tempo_ln, np.abs(s.clean_error_m), s.ball, s.session)


TILES: tuple[Tile, ...] = (
    Tile("bracket_width", "change", "m", 0.3, _bracket_width),
    Tile("bracket_held", "change", "1", 0.1, _bracket_held),
    Tile("bracket_fit", "habit", "1", 0.15, bracket_fit),
    Tile("rehearsal_bias", "habit", "1", 0.02, _speed_bias),
    Tile("tempo_drift", "habit", "1", 0.1, lambda p: drift(p.tempo)),
    Tile("tempo_change", "change", "1", 0.1, _tempo_change),
    Tile("tempo_rehearsal", "habit", "1", 0.05, lambda p: rehearsal_against_strike(p.tempo)),
    Tile("tempo_far", "link", "1", 0.2, _link_far),
    Tile("tempo_wide", "link", "1", 0.2, _link_wide),
    Tile("landing_centre", "habit", "m", 0.15, _landing_centre),
    Tile("landing_change", "change", "m", 0.3, _landing_drift),
    Tile("landing_spread", "change", "m", 0.15, _landing_spread),
    Tile("start_side", "habit", "deg", 0.5, _start_side),
    Tile("start_change", "change", "deg", 1.0, _start_change),
    Tile("start_spread", "change", "deg", 0.5, _start_spread),
    Tile("mishit_share", "change", "1", 0.05, _mishits),
)
TILE_KEYS = tuple(tile.key for tile in TILES)


def looked_at(practice: Practice) -> list[Looked]:
    """Every tile with its estimate from this practice, and what is at stake with it."""
    return [_look(tile, practice) for tile in TILES]


def _look(tile: Tile, practice: Practice) -> Looked:
    estimate = tile.estimate(practice)
    stake = metres_at_stake(tile.key, estimate.value, practice)
    return Looked(tile.key, tile.kind, estimate, tile.unit, tile.minimum, tile.matters, stake)


def session_report(practice: Practice, declared: str | None = None) -> list[Finding]:
    """Judge everything together; `declared` is the focus set before the session, if any."""
    return judge(looked_at(practice), declared)
