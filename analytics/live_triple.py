"""The triple just played: only the tail of the two logs is paired, whatever was paired before.

con = open_store(store, "ana1")
now = live_triple(con, "ana1")
"""

from dataclasses import dataclass

import numpy as np
import pyarrow as pa

from analytics.brackets import TripleOdds, brackets
from analytics.db import Connection, ask, sql, stand_apart
from analytics.feedback import feedback
from analytics.pairing import PAIRING_VERSION, Pairing, pair
from analytics.pairing_logs import LaunchLog, SwingLog
from analytics.practice_rows import Window
from analytics.row_columns import numbers, words
from schemas.tables import arrow_schema

TAIL_BALLS = 24
SWINGS_PER_BALL = 5


@dataclass(frozen=True)
class LiveTriple:
    """What is known of the ball just struck.

    ball: its number today, 0 before the first; triple: its bracket, None while it is not known,
    and `reason` says why. offset_s: sensor clock − launch clock, to be handed to the next call.
    """

    ball: int
    carry_m: float | None
    triple: TripleOdds | None
    reason: str
    offset_s: float | None


def live_triple(
    con: Connection,
    player_id: str,
    window: Window | None = None,
    offset_hint_s: float | None = None,
) -> LiveTriple:
    """Pair the last balls and swings, and judge the latest bracket.

    Args:
        con: a connection of this call's own; its `pairs` view is widened by the tail.
        window: overrules the session's.
        offset_hint_s: clock offset found before, so that few balls suffice.
    """
    balls = ask(con, "live_balls", {"player_id": player_id, "most": TAIL_BALLS})
    if balls.num_rows == 0:
        return LiveTriple(0, None, None, "No ball yet.", offset_hint_s)
    most = TAIL_BALLS * SWINGS_PER_BALL
    swings = ask(con, "live_swings", {"player_id": player_id, "most": most})
    found = _pairing(balls, swings, offset_hint_s)
    offset = found.clock.offset_s if found.clock is not None else offset_hint_s
    stand_apart(con)
    con.register("tail_pairs", _rows(found, player_id, balls, swings))
    con.execute(sql("live_pairs"))
    ball, event = int(balls["ball"][-1].as_py()), balls["event_id"][-1].as_py()
    carry = balls["carry_m"][-1].as_py()
    triples = brackets(feedback(con, player_id, window)).triples
    latest = next((t for t in reversed(triples) if t.row.shot.event_id == event), None)
    reason = "" if latest is not None else found.reason or "No rehearsal was seen before it."
    return LiveTriple(ball, carry, latest, reason, offset)


def _pairing(balls: pa.Table, swings: pa.Table, offset_hint_s: float | None) -> Pairing:
    launch = LaunchLog(
        numbers(balls, "at_s"),
        numbers(balls, "ball_speed_mps"),
        numbers(balls, "club_speed_mps"),
        numbers(balls, "carry_m"),
    )
    sensor = SwingLog(
        numbers(swings, "at_s"),
        numbers(swings, "peak_speed_mps"),
        numbers(swings, "backswing_s"),
        numbers(swings, "downswing_s"),
    )
    return pair(launch, sensor, offset_hint_s=offset_hint_s)


def _rows(found: Pairing, player_id: str, balls: pa.Table, swings: pa.Table) -> pa.Table:
    """The tail's pairs as rows of `pairs`."""
    shot, swing = words(balls, "event_id"), words(swings, "event_id")
    rows = [(shot[p.shot], swing[p.swing], "strike", p.probability) for p in found.pairs]
    rows += [
        (shot[r.shot], swing[r.swing], r.role, r.probability)
        for r in found.rehearsals
        if r.shot is not None
    ]
    schema = arrow_schema("pairs").append(pa.field("player_id", pa.string()))
    session = balls["session_id"][0].as_py()
    known = {"session_id": session, "player_id": player_id, "fit_version": PAIRING_VERSION}
    names = ("shot_event_id", "swing_event_id", "role", "probability")
    listed = [
        dict.fromkeys(schema.names) | known | dict(zip(names, row, strict=True)) for row in rows
    ]
    for row in listed:
        row["probability"] = float(np.clip(row["probability"], 0.0, 1.0))
    return pa.Table.from_pylist(listed, schema=schema)
