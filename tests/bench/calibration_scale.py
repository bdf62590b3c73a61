"""Calibrating a whole store in one run beside a bare GROUP BY with regr_slope over the same files.

Two layouts of the same balls: one file sorted by player, as a roll-up keeps them, and one file per
player, as import folders do. Both sides run in this process, by turns; the best of each counts.
Seconds are those of the processor, so that neighbours on the machine do not count.
"""

import resource
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import polars as pl

from analytics.carry_curve import CurveStack, curve_stack
from analytics.db import Connection, in_memory

PER_PLAYER = 500
CLUBS = np.array(["9I", "GW", "LW", "PW", "SW"])

BARE = """
SELECT player_id, club, regr_slope(ln(carry_m), ln(club_speed_mps))
FROM shots
GROUP BY player_id, club
"""


@dataclass(frozen=True)
class Scale:
    """Seconds (best of the turns) of both sides, and the process's peak memory in GB."""

    layout: str
    n_balls: int
    bare_s: float
    curves_s: float
    peak_gb: float

    @property
    def ratio(self) -> float:
        """Curves over bare."""
        return self.curves_s / self.bare_s


def balls(n_players: int, seed: int = 1) -> pl.DataFrame:
    """500 balls of each player with five clubs over eight days, sorted, 5 % mishits."""
    rng = np.random.default_rng(seed)
    n = n_players * PER_PLAYER
    x = rng.normal(np.log(9.0), 0.25, n)
    y = -2.0 + 1.95 * x + rng.normal(0, 0.08, n)
    y -= (rng.random(n) < 0.05) * rng.uniform(0.3, 1.0, n)
    days = np.array([f"2026-0{day + 1}-1{day}" for day in range(8)])
    club = np.tile(np.repeat(np.arange(5), PER_PLAYER // 5), n_players)
    day = np.tile(np.arange(PER_PLAYER // 5) // 13, 5 * n_players)
    names = np.array([f"p{i:08x}" for i in range(n_players)])
    return pl.DataFrame(
        {
            "player_id": np.repeat(names, PER_PLAYER),
            "club": CLUBS[club],
            "session_id": days[day],
            "club_speed_mps": np.exp(x),
            "carry_m": np.exp(y),
        }
    )


def _over(path: str) -> Connection:
    con = in_memory({})
    con.execute("SET threads = 2")
    con.read_parquet(path).create_view("files")
    con.execute(
        """
        CREATE OR REPLACE TEMP VIEW shots AS
        SELECT
            *, NULL::VARCHAR AS swing_length, NULL::DOUBLE AS loft_deg, NULL::VARCHAR AS strike,
            NULL::DATE AS day, '' AS event_id, NULL::DOUBLE AS ball_speed_mps,
            NULL::VARCHAR AS surface, NULL::TIMESTAMPTZ AS struck_at_utc
        FROM files
        """
    )
    return con


def measure(layout: str, n_players: int, turns: int = 3) -> Scale:
    """Both sides over `rolled up` (one sorted file) or `import folders` (one file a player)."""
    with tempfile.TemporaryDirectory() as folder:
        frame = balls(n_players)
        if layout == "rolled up":
            frame.write_parquet(f"{folder}/shots.parquet", row_group_size=20_000)
        else:
            for player in frame.partition_by("player_id"):
                place = Path(folder, f"player={player['player_id'][0]}", "import=i0")
                place.mkdir(parents=True)
                player.write_parquet(place / "shots.parquet")
        del frame
        con = _over(f"{folder}/**/shots.parquet")
        bare, curves = [], []
        for _ in range(turns):
            bare.append(_timed(lambda: con.sql(BARE).to_arrow_table()))
            curves.append(_timed(lambda: _checked(curve_stack(con), n_players)))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    return Scale(layout, n_players * PER_PLAYER, min(bare), min(curves), peak)


def _timed(work) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def _checked(stack: CurveStack, n_players: int) -> None:
    assert len(stack) == 5 * n_players
    assert abs(float(np.median(stack.fit.belief.exponent))) < 0.02


def main() -> None:
    for layout in ("rolled up", "import folders"):
        found = measure(layout, 20_000, turns=2)
        print(found, f"ratio {found.ratio:.2f}")


if __name__ == "__main__":
    main()
