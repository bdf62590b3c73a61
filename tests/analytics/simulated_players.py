"""Simulated players with known curves: not the demo, and not drawn from the project's own prior
unless asked to be. Used by tests and by the benches.
"""

from dataclasses import dataclass, replace
from datetime import UTC, datetime

import numpy as np
import pyarrow as pa

from analytics.db import Connection, in_memory
from schemas.tables import arrow_schema

CLUBS = (("SW", 56.0), ("PW", 46.0), ("9I", 42.0), ("LW", 60.0), ("GW", 51.0))
DAY_ONE = datetime(2026, 3, 2, 9, tzinfo=UTC)


@dataclass(frozen=True)
class World:
    """What the players are like and how they hit; SDs on the scale of ln carry and ln speed."""

    n_players: int = 1000
    n_clubs: int = 1
    n_balls: int = 10
    n_days: int = 2
    speeds: tuple[float, float] = (5.0, 14.0)
    mishits: float = 0.05
    mishit_loss: tuple[float, float] = (0.35, 0.15)
    speed_noise: float = 0.02
    level: tuple[float, float] = (float(np.log(10.5)), 0.18)
    exponent: tuple[float, float] = (1.93, 0.06)
    curvature: float = 0.0
    shot_sd: float = 0.06
    shot_sd_spread: float = 0.25
    day_sd: float = 0.035
    seed: int = 1


@dataclass(frozen=True)
class Balls:
    """Balls as a device would read them, with what is true of them; arrays shape (n,)."""

    player: np.ndarray
    club: np.ndarray
    day: np.ndarray
    speed_mps: np.ndarray
    carry_m: np.ndarray
    mishit: np.ndarray


@dataclass(frozen=True)
class Truth:
    """True curve of each player × club, shape (players, clubs), and SDs by player."""

    level: np.ndarray
    exponent: np.ndarray
    shot_sd: np.ndarray
    day_sd: np.ndarray


def draw_truth(world: World) -> Truth:
    rng = np.random.default_rng(world.seed)
    shape = (world.n_players, world.n_clubs)
    loft = np.array([(50.0 - loft) * 0.025 for _, loft in CLUBS[: world.n_clubs]])
    player_level = rng.normal(world.level[0], 0.8 * world.level[1], (world.n_players, 1))
    level = player_level + loft + rng.normal(0, 0.6 * world.level[1], shape)
    exponent = rng.normal(world.exponent[0], 0.75 * world.exponent[1], (world.n_players, 1))
    exponent = exponent + rng.normal(0, 0.66 * world.exponent[1], shape)
    spread = np.exp(rng.normal(0, world.shot_sd_spread, world.n_players))
    return Truth(
        level, exponent, world.shot_sd * spread, np.full(world.n_players, world.day_sd) * spread
    )


def hit(world: World, truth: Truth, n_balls: int, n_days: int, seed: int) -> Balls:
    """`n_balls` per player and club over `n_days` days, clubs mixed, days shared by clubs."""
    rng = np.random.default_rng((world.seed, seed))
    shape = (world.n_players, world.n_clubs, n_balls)
    day = np.broadcast_to(np.arange(n_balls) % n_days, shape)
    shift = rng.normal(0, truth.day_sd[:, None], (world.n_players, n_days))
    shift = np.take_along_axis(shift, day.reshape(world.n_players, -1), axis=1).reshape(shape)
    low, high = np.log(world.speeds)
    x = rng.uniform(low, high, shape)
    mishit = rng.random(shape) < world.mishits
    loss = np.maximum(rng.normal(*world.mishit_loss, shape), 0.0)
    dx = x - np.log(10.0)
    y = truth.level[:, :, None] + truth.exponent[:, :, None] * dx + world.curvature * dx**2
    y = y + shift + rng.normal(0, 1, shape) * truth.shot_sd[:, None, None]
    y = y - mishit * loss
    read = x + rng.normal(0, world.speed_noise, shape)
    player = np.broadcast_to(np.arange(world.n_players)[:, None, None], shape)
    club = np.broadcast_to(np.arange(world.n_clubs)[None, :, None], shape)
    return Balls(*(part.ravel() for part in (player, club, day, np.exp(read), np.exp(y), mishit)))


def player_name(number: int) -> str:
    return f"p{number:06d}"


def shots_table(balls: Balls, **columns: object) -> pa.Table:
    """The balls as rows of `shots`, in the given order; numbers and names are their row numbers."""
    n = len(balls.player)
    start = np.datetime64(DAY_ONE.replace(tzinfo=None), "us")
    seconds = 86_400 * balls.day.astype(np.int64) + 30 * (np.arange(n) % 800)
    players = np.array([player_name(p) for p in range(int(balls.player.max(initial=0)) + 1)])
    clubs = np.array([name for name, _ in CLUBS])
    given: dict[str, object] = {
        "player_id": players[balls.player],
        "club": clubs[balls.club],
        "club_speed_mps": balls.speed_mps,
        "carry_m": balls.carry_m,
        "struck_at_utc": start + seconds.astype("timedelta64[s]"),
        "event_id": [f"e{i:08d}" for i in range(n)],
        "import_id": ["i0"] * n,
    } | columns
    schema = arrow_schema("shots").append(pa.field("player_id", pa.string()))
    arrays = [
        pa.array(given[field.name], field.type) if field.name in given else pa.nulls(n, field.type)
        for field in schema
    ]
    fields = [field.with_nullable(True) for field in schema]
    return pa.table(arrays, schema=pa.schema(fields))


def connection(balls: Balls, **columns: object) -> Connection:
    """The views over these balls."""
    return in_memory({"shots": shots_table(balls, **columns)})


def one_player(**changes: object) -> tuple[World, Truth, Balls]:
    """A single simulated player, hitting `n_balls` with each club."""
    world = replace(World(n_players=1), **changes)
    truth = draw_truth(world)
    return world, truth, hit(world, truth, world.n_balls, world.n_days, 0)


def rows(table: str, *given: dict[str, object]) -> pa.Table:
    """Rows of a table of the store, columns not given left empty."""
    schema = arrow_schema(table)
    if "player_id" not in schema.names:
        schema = schema.append(pa.field("player_id", pa.string()))
    schema = pa.schema([field.with_nullable(True) for field in schema])
    return pa.Table.from_pylist([dict.fromkeys(schema.names) | row for row in given], schema=schema)


def paired(balls: Balls, peaks: np.ndarray) -> dict[str, pa.Table]:
    """The balls with one sensor swing each: shots, swings and pairs."""
    names = [player_name(p) for p in balls.player]
    swings = [
        {"player_id": name, "event_id": f"s{i:08d}", "peak_speed_mps": float(peak)}
        for i, (name, peak) in enumerate(zip(names, peaks, strict=True))
    ]
    pairs = [
        {
            "player_id": name,
            "session_id": "",
            "shot_event_id": f"e{i:08d}",
            "swing_event_id": f"s{i:08d}",
            "role": "strike",
            "probability": 1.0,
        }
        for i, name in enumerate(names)
    ]
    return {
        "shots": shots_table(balls),
        "swings": rows("swings", *swings),
        "pairs": rows("pairs", *pairs),
    }
