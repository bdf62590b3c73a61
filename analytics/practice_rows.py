"""A player's practice read from the store: columns for the computations, and where they came from.

Sessions without a window get one of ± 1 ft around their middle ball (common practice, no source),
and say that it is assumed.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

import numpy as np
import pyarrow as pa
from numpy.typing import NDArray

from analytics.bracket_rows import TripleRow, triple_rows, triples_of
from analytics.clustered import Ints
from analytics.curve_cells import PRIOR_EXPONENT
from analytics.db import Connection, Parameter, ask
from analytics.landing import WINDOW_HALF_M, Hand
from analytics.mishits import CUT
from analytics.population import ASSUMED
from analytics.practice import Practice, WindowShots
from analytics.row_columns import flags, numbers, words
from analytics.tempo import Tempo

Floats = NDArray[np.float64]

LEAST_PROBABILITY = 0.5
"""A swing counts for a ball when it is more likely than not that it belongs to it."""


@dataclass(frozen=True)
class Window:
    """Landing window as carry from the ball, metres."""

    near_m: float
    far_m: float


@dataclass(frozen=True)
class Session:
    """A day of practice: its window, and whether somebody set it."""

    session_id: str
    day: date | None
    near_m: float
    far_m: float
    window_given: bool


@dataclass(frozen=True)
class PlayerPractice:
    """One player's practice with its rows.

    `balls` are all rows of `landings.sql`, `aimed` marks those at the window; `swings` are the
    rows of `tempos.sql`. `session_of_ball` and `session_of_swing` count sessions from 0.
    """

    player_id: str
    practice: Practice
    sessions: tuple[Session, ...]
    balls: pa.Table
    aimed: NDArray[np.bool_]
    session_of_ball: Ints
    swings: pa.Table
    session_of_swing: Ints
    triples: tuple[TripleRow, ...]


def player_practice(
    con: Connection, player_id: str, window: Window | None = None
) -> PlayerPractice:
    """Everything the feedback needs of one player; `window` overrules those of the sessions."""
    balls = balls_of(con, player_id)
    likely: dict[str, Parameter] = {"player_id": player_id, "least_probability": LEAST_PROBABILITY}
    swings = ask(con, "tempos", likely)
    order = _sessions_in_order(balls, swings)
    index = {session: place for place, (session, _) in enumerate(order)}
    of_ball, of_swing = (_indices(table, index) for table in (balls, swings))
    sessions = tuple(_windows(order, balls, of_ball, window))
    aimed = flags(balls, "aimed")
    rows = triple_rows(ask(con, "brackets", likely), balls)
    near, far = (np.array([getattr(s, end) for s in sessions]) for end in ("near_m", "far_m"))
    triples, exponent = triples_of(con, player_id, rows, (index, near, far))
    practice = Practice(
        hand=_hand(balls),
        shots=_window_shots(balls, aimed, of_ball, sessions, swings),
        tempo=_tempo(swings, of_swing, balls, aimed),
        triples=triples,
        days=_days(sessions),
        speed_exponent=exponent,
    )
    return PlayerPractice(
        player_id, practice, sessions, balls, aimed, of_ball, swings, of_swing, tuple(rows)
    )


def balls_of(con: Connection, player_id: str) -> pa.Table:
    """The player's balls, as `landings.sql` gives them."""
    known: dict[str, Parameter] = {
        "player_id": player_id,
        "cut": CUT,
        "spread": ASSUMED.shot_sd,
        "exponent": PRIOR_EXPONENT,
    }
    return ask(con, "landings", known)


def _sessions_in_order(balls: pa.Table, swings: pa.Table) -> list[tuple[str, date | None]]:
    days: dict[str, date | None] = {}
    for table in (balls, swings):
        days.update(zip(table["session_id"].to_pylist(), table["day"].to_pylist(), strict=True))
    return sorted(days.items(), key=lambda item: (item[1] or date.max, item[0]))


def _indices(table: pa.Table, index: dict[str, int]) -> Ints:
    found = [index[session] for session in table["session_id"].to_pylist()]
    return np.array(found, dtype=np.int64)


def _windows(
    order: list[tuple[str, date | None]], balls: pa.Table, of_ball: Ints, window: Window | None
) -> Iterator[Session]:
    near, far = numbers(balls, "window_near_m"), numbers(balls, "window_far_m")
    carry = np.where(flags(balls, "mishit"), np.nan, numbers(balls, "carry_m"))
    aimed = flags(balls, "aimed")
    for place, (session_id, day) in enumerate(order):
        rows = of_ball == place
        stated = rows & np.isfinite(near) & np.isfinite(far) & (far > near)
        if window is not None:
            yield Session(session_id, day, window.near_m, window.far_m, True)
        elif stated.any():
            first = int(np.argmax(stated))
            yield Session(session_id, day, float(near[first]), float(far[first]), True)
        else:
            known = carry[rows & aimed & np.isfinite(carry)]
            middle = float(np.median(known)) if known.size else float("nan")
            low = max(middle - WINDOW_HALF_M, 0.1)
            yield Session(session_id, day, low, middle + WINDOW_HALF_M, False)


def _window_shots(
    balls: pa.Table,
    aimed: NDArray[np.bool_],
    of_ball: Ints,
    sessions: tuple[Session, ...],
    swings: pa.Table,
) -> WindowShots:
    struck = words(swings, "role") == "strike"
    ratio = np.log(numbers(swings, "backswing_s")) - np.log(numbers(swings, "downswing_s"))
    of_shot = dict(zip(words(swings, "shot_event_id")[struck], ratio[struck].tolist(), strict=True))
    tempo = np.array([of_shot.get(e, np.nan) for e in balls["event_id"].to_pylist()], dtype=float)
    session = of_ball[aimed]
    near, far, given = (
        np.array([getattr(s, name) for s in sessions])
        for name in ("near_m", "far_m", "window_given")
    )
    return WindowShots(
        session=session,
        ball=numbers(balls, "ball")[aimed],
        carry_m=numbers(balls, "carry_m")[aimed],
        near_m=near[session].astype(float),
        far_m=far[session].astype(float),
        start_right_deg=numbers(balls, "start_right_deg")[aimed],
        tempo_ln=tempo[aimed],
        mishit=flags(balls, "mishit")[aimed],
        window_given=given[session].astype(bool),
    )


def _tempo(swings: pa.Table, of_swing: Ints, balls: pa.Table, aimed: NDArray[np.bool_]) -> Tempo:
    """Swings of the balls at the window, so that a ladder's longer swings are no drift."""
    shots = words(swings, "shot_event_id")
    at_window = set(words(balls, "event_id")[aimed].tolist())
    kept = np.array([shot is None or shot in at_window for shot in shots], dtype=bool)
    role = words(swings, "role")[kept]
    return Tempo(
        session=of_swing[kept],
        ball=numbers(swings, "ball")[kept],
        backswing_s=numbers(swings, "backswing_s")[kept],
        downswing_s=numbers(swings, "downswing_s")[kept],
        rehearsal=np.array([str(r).startswith("rehearse") for r in role], dtype=bool),
    )


def _days(sessions: tuple[Session, ...]) -> Floats:
    """Days from the first session; a session without a day follows the one before by one."""
    out: list[float] = []
    first = next((s.day for s in sessions if s.day is not None), None)
    for session in sessions:
        if session.day is not None and first is not None:
            out.append(float((session.day - first).days))
        else:
            out.append(out[-1] + 1.0 if out else 0.0)
    return np.array(out, dtype=np.float64)


def _hand(balls: pa.Table) -> Hand:
    left = balls.num_rows > 0 and balls["handedness"][0].as_py() == "left"
    return "left" if left else "right"
