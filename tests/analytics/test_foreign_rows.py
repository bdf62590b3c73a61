"""Rows of another player: listed when a run of them speaks for it, never for one odd ball."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from analytics.db import in_memory
from analytics.foreign_rows import foreign_rows, heaviest_run
from tests.analytics.test_db import rows

START = datetime(2026, 5, 1, 9, tzinfo=UTC)
OWN = {"speed": 9.0, "launch": 32.0, "start": -0.3}
OTHER = {"speed": 9.6, "launch": 29.0, "start": 2.0}


def balls(player: str, style: dict[str, float], day: int, n: int, seed: int, start: int = 0):
    random = np.random.default_rng(seed)
    speed = style["speed"] * np.exp(random.normal(0, 0.05, n))
    return [
        {
            "player_id": player,
            "event_id": f"{player}{day}-{start + k}",
            "import_id": f"i{day}",
            "source_line": start + k + 2,
            "struck_at_utc": START + timedelta(days=day, seconds=30 * (start + k)),
            "club": "SW",
            "swing_length": "hip",
            "ball_speed_mps": float(speed[k]),
            "launch_deg": style["launch"] + float(random.normal(0, 1.5)),
            "start_right_deg": style["start"] + float(random.normal(0, 1.0)),
            "carry_m": float(0.09 * speed[k] ** 2 * np.exp(random.normal(0, 0.06))),
        }
        for k in range(n)
    ]


def book(*groups: list[dict[str, object]]):
    shots = rows("shots", *[ball for group in groups for ball in group])
    return in_memory({"shots": shots})


def test_a_run_of_foreign_rows_is_listed_with_its_lines():
    own = [balls("pown", OWN, day, 30, day) for day in range(3)]
    other = [balls("poth", OTHER, day, 30, 50 + day) for day in range(3)]
    planted = balls("pown", OTHER, 2, 7, 99, start=30)
    (run,) = foreign_rows(book(*own, *other, planted), "pown")
    assert run.session_id == "pown:2026-05-03"
    assert run.looks_like == "poth"
    assert set(range(32, 39)) & set(run.source_lines) >= set(range(33, 38))


@pytest.mark.parametrize("seed", range(5))
def test_players_alike_and_odd_balls_are_left_alone(seed):
    own = [balls("pown", OWN, day, 30, 10 * seed + day) for day in range(3)]
    other = [balls("poth", OWN, day, 30, 500 + 10 * seed + day) for day in range(3)]
    odd = balls("pown", OTHER, 1, 1, seed, start=30)
    assert foreign_rows(book(*own, *other, odd), "pown") == []


def test_the_heaviest_run_is_found():
    assert heaviest_run(np.array([-1.0, 2.0, -0.5, 3.0, -4.0])) == (1, 4, 4.5)
