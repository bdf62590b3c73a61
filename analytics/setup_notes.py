"""A coach's set-up notes with how the balls of each block went; observed, never explained."""

from dataclasses import dataclass

import numpy as np

from analytics.db import Connection, ask
from analytics.feedback import Feedback
from analytics.row_columns import flags, numbers
from analytics.setup_blocks import NotedShots, SetupBlock, setup_blocks


@dataclass(frozen=True)
class SetupNotes:
    """Blocks of noted days, and the session id and day of each session number."""

    player_id: str
    blocks: tuple[SetupBlock, ...]
    days: tuple[str, ...]


def setup_notes(con: Connection, found: Feedback) -> SetupNotes:
    """The blocks of a player; mishits are left out of the means, not of the blocks."""
    read = found.read
    notes = ask(con, "setup_notes", {"player_id": read.player_id}).to_pylist()
    tags = {row["event_id"]: row["tags"] for row in notes}
    balls = read.balls
    clean = ~flags(balls, "mishit")
    middle = np.array([0.5 * (s.near_m + s.far_m) for s in read.sessions])
    error = numbers(balls, "carry_m") - middle[read.session_of_ball]
    columns = {
        "carry_error_m": np.where(read.aimed, error, np.nan),
        "start_right_deg": numbers(balls, "start_right_deg"),
        "ball_to_club_ratio": numbers(balls, "ball_to_club_ratio"),
    }
    shots = NotedShots(
        session=read.session_of_ball,
        ball=numbers(balls, "ball").astype(np.int64),
        tags=tuple(tags.get(event) for event in balls["event_id"].to_pylist()),
        measures={name: np.where(clean, values, np.nan) for name, values in columns.items()},
    )
    days = tuple(str(session.day or session.session_id) for session in read.sessions)
    return SetupNotes(read.player_id, tuple(setup_blocks(shots)), days)
