"""A store of many players, quickly made: one import of shots each, as the store holds it."""

from datetime import UTC, datetime, timedelta
from functools import lru_cache
from pathlib import Path

import numpy as np
import polars as pl
import pyarrow as pa
import pyarrow.parquet as pq

from ingest.identity import identify
from ingest.ledger import Ledger
from ingest.players import Player, save_player
from ingest.to_arrow import to_arrow
from schemas.store_paths import LEDGER, import_dir

CLUBS = ("SW", "PW", "9I", "GW")
DAYS = 8
PATTERNS = 64
"""So many players differ in their balls, the others repeat them."""


def write_player(store: Path, player_id: str, shots: int, seed: int) -> None:
    """One player with one import of `shots` struck balls over eight days."""
    save_player(store, Player(player_id, player_id))
    write_import(store, player_id, _table(shots, seed % PATTERNS), f"{seed:032x}")


@lru_cache(PATTERNS)
def _table(shots: int, seed: int) -> pa.Table:
    return to_arrow(identify(_shots(shots, seed), "shots"), "shots", "")


def write_import(store: Path, player_id: str, table: pa.Table, import_id: str) -> None:
    """One import folder; not synced, since it may be made again."""
    folder = import_dir(store, player_id, import_id)
    folder.mkdir(parents=True)
    place = table.schema.get_field_index("import_id")
    named = pa.repeat(import_id, table.num_rows).cast(table.schema.field(place).type)
    table = table.set_column(place, table.schema.field(place), named)
    pq.write_table(table, folder / "shots.parquet", compression="zstd", row_group_size=10_000)
    ledger = Ledger(
        import_id=import_id,
        player_id=player_id,
        kind="launch",
        source_name="made.csv",
        source_sha256=import_id * 2,
        source_bytes=0,
        layout="made@1",
        imported_at_utc="2026-05-04T17:30:00+00:00",
        imported_by="bench",
        rows_in=table.num_rows,
        rows_kept=table.num_rows,
        rows_set_aside=0,
        rows_repeated=0,
        questions_open=0,
        tables=["shots"],
    )
    (folder / LEDGER).write_text(ledger.to_json(), "utf-8")


def _shots(n: int, seed: int) -> pl.DataFrame:
    """Balls that follow carry = c · speed^1.95 with scatter."""
    drawn = np.random.default_rng(seed)
    speed = drawn.uniform(6.0, 12.0, n)
    carry = 0.16 * speed**1.95 * np.exp(drawn.normal(0, 0.07, n))
    start = datetime(2026, 3, 2, 17, tzinfo=UTC)
    place = np.arange(n)
    per_day = -(-n // DAYS)
    seconds = (place // per_day) * 7 * 86_400 + (place % per_day) * 20
    return pl.DataFrame(
        {
            "device_number": place,
            "struck_at_utc": [start + timedelta(seconds=int(s)) for s in seconds],
            "club": [CLUBS[i % len(CLUBS)] for i in place],
            "club_text": [CLUBS[i % len(CLUBS)] for i in place],
            "club_speed_mps": speed,
            "ball_speed_mps": speed * 1.1,
            "launch_deg": drawn.normal(32, 2, n),
            "start_right_deg": drawn.normal(0, 1.5, n),
            "spin_rpm": drawn.normal(4500, 400, n),
            "carry_m": carry,
            "side_m": drawn.normal(0, 0.4, n),
            "swing_length": ["hip" if i % 2 else "chest" for i in place],
            "source_line": place + 2,
        }
    ).with_columns(
        pl.col("struck_at_utc").cast(pl.Datetime("us", "UTC")), extra=pl.lit(None, pl.Null)
    )
