"""A simulated practice session as rows of a store."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from ingest.hand_entry import enter
from tests.bench.pairing_sessions import Session

START = datetime(2026, 5, 4, 9, tzinfo=UTC)


def enter_session(
    store: Path, player_id: str, one: Session, parts: int = 1, sensor_parts: int = 1
) -> list[str]:
    """Enter both logs of the session, in so many files each; returns the import ids."""
    first = float(np.nanmin(one.launch.times_s))
    balls = [
        {"device_number": row, "struck_at_utc": _at(t - first), "ball_speed_mps": round(v, 3)}
        for row, (t, v) in enumerate(
            zip(one.launch.times_s, one.launch.ball_speed_mps, strict=True), start=1
        )
    ]
    log = one.swings
    columns = zip(log.times_s, log.peak_speed_mps, log.backswing_s, log.downswing_s, strict=True)
    swings = [
        {
            "device_number": row,
            "swung_at_utc": _at(t - first),
            "peak_speed_mps": round(v, 3),
            "backswing_s": round(back, 3),
            "downswing_s": round(down, 3),
        }
        for row, (t, v, back, down) in enumerate(columns, start=1)
    ]
    return [
        enter(store, player_id, table, [rows[k] for k in cut]).import_id
        for table, rows, files in (("shots", balls, parts), ("swings", swings, sensor_parts))
        for cut in np.array_split(np.arange(len(rows)), files)
    ]


def _at(seconds: float) -> datetime:
    return START + timedelta(seconds=round(float(seconds), 3))
