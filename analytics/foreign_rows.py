"""Rows that look more like another player's balls than like this player's own.

Rules
-----
1. Rows are listed, never moved: a person decides.
2. One odd ball is a mishit, not a stranger: only a run of balls counts, and its evidence adds up
   over the run, less the price of looking at every run of every session.
3. A player is compared with what the same player did in *other* sessions, so that a session full
   of foreign rows cannot vouch for itself.
"""

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.db import Connection, ask

# Student t with few degrees of freedom: a mishit must not weigh like a stranger.
TAIL_DOF = 4.0
SHORTEST_RUN = 3
NATS_NEEDED = 5.0
NATS_PER_BALL_LIMIT = 4.0
# A ball is this player's own until it says otherwise: what each ball of a run has to outweigh.
NATS_DOUBT_PER_BALL = 0.5


@dataclass(frozen=True)
class ForeignRun:
    """A run of balls that look like another player's."""

    session_id: str
    import_ids: tuple[str, ...]
    event_ids: tuple[str, ...]
    source_lines: tuple[int, ...]
    looks_like: str
    evidence_nats: float


def foreign_rows(connection: Connection, player_id: str) -> list[ForeignRun]:
    """Runs of a player's balls that another player of the store explains better.

    Needs at least 12 balls of the same club and swing length from each of the two players, in
    sessions other than the one looked at. Opened over one player alone there is nobody to compare
    with, and the list is empty.
    """
    rows = ask(connection, "foreign_rows", {"player_id": player_id}).to_pylist()
    sessions: dict[str, dict[str, dict[str, dict[str, object]]]] = defaultdict(
        lambda: defaultdict(dict)
    )
    for row in rows:
        sessions[row["session_id"]][row["event_id"]][row["candidate"]] = row
    found = []
    for session_id, balls in sessions.items():
        others = {name for ball in balls.values() for name in ball} - {player_id}
        runs = [_best_run(session_id, balls, player_id, other) for other in sorted(others)]
        best = max((run for run in runs if run), key=lambda run: run.evidence_nats, default=None)
        if best is not None:
            found.append(best)
    return found


def _best_run(
    session_id: str,
    balls: dict[str, dict[str, dict[str, object]]],
    player_id: str,
    other: str,
) -> ForeignRun | None:
    known = [
        (event, ball[player_id], ball[other])
        for event, ball in balls.items()
        if player_id in ball and other in ball
    ]
    if len(known) < SHORTEST_RUN:
        return None
    evidence = np.array([_log_likelihood(them) - _log_likelihood(own) for _, own, them in known])
    evidence = np.clip(evidence, -NATS_PER_BALL_LIMIT, NATS_PER_BALL_LIMIT) - NATS_DOUBT_PER_BALL
    first, last, total = heaviest_run(evidence)
    # Every run of the session was looked at: pay for it.
    total -= float(np.log(len(known) ** 2))
    if last - first < SHORTEST_RUN or total < NATS_NEEDED:
        return None
    run = known[first:last]
    return ForeignRun(
        session_id=session_id,
        import_ids=tuple(sorted({str(own["import_id"]) for _, own, _ in run})),
        event_ids=tuple(event for event, _, _ in run),
        source_lines=tuple(int(str(own["source_line"])) for _, own, _ in run),
        looks_like=other,
        evidence_nats=total,
    )


def heaviest_run(evidence: NDArray[np.float64]) -> tuple[int, int, float]:
    """(first, one past last, sum) of the run of consecutive values with the largest sum."""
    sums = np.concatenate([[0.0], np.cumsum(evidence)])
    lowest = np.minimum.accumulate(sums[:-1])
    last = int(np.argmax(sums[1:] - lowest)) + 1
    first = int(np.argmin(sums[:last]))
    return first, last, float(sums[last] - sums[first])


def _log_likelihood(row: dict[str, object]) -> float:
    scores = [row[name] for name in ("speed_z", "launch_z", "start_z", "carry_z")]
    known = np.array([float(str(score)) for score in scores if score is not None])
    tails = -0.5 * (TAIL_DOF + 1) * np.log1p(known**2 / TAIL_DOF)
    return float(tails.sum()) - float(str(row["log_spreads"]))
