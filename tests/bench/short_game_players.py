"""Simulated players for the short game: a known truth, the rows they leave, the balls they play."""

import math
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pyarrow as pa

from analytics.db import Connection, in_memory
from analytics.roll import Green
from analytics.run_ratio import CHART, REFERENCE
from analytics.shot_simulation import PlanClub, Situation
from schemas.tables import arrow_schema

LEVEL_M = {"SW": 8.6, "PW": 11.0, "9I": 12.4}
LENGTHS = {"hip": 7.0, "chest": 9.0}
WEEKS = 4
PLAYER = "sim1"


@dataclass(frozen=True)
class Truth:
    """One player's true spread; logs for carry, run ratio and their days."""

    speed_sd: float
    strike_sd: float
    day_sd: float
    run_log: dict[str, float]
    run_sd: float
    run_day_sd: float
    start_sd_deg: float
    start_bias_deg: float
    mishit_share: float

    @property
    def aim_sd(self) -> float:
        """Spread of ln carry around what is meant, day apart."""
        return math.hypot(1.95 * self.speed_sd, self.strike_sd)

    def club(self, name: str, low_m: float, high_m: float) -> PlanClub:
        """The true player as the simulation plays it: nothing unknown but the day."""
        return PlanClub(
            club=name,
            carry_low_m=low_m,
            carry_high_m=high_m,
            carry_shot_sd=self.aim_sd,
            carry_common_sd=self.day_sd,
            run_ratio=math.exp(self.run_log[name]),
            run_shot_sd=self.run_sd,
            run_common_sd=self.run_day_sd,
            run_seen_on=REFERENCE,
            start_sd_deg=self.start_sd_deg,
            start_bias_deg=self.start_bias_deg,
            mishit_share=self.mishit_share,
            mishit_log_mean=-0.35,
            mishit_log_sd=0.2,
        )


def carry_m(club: str, speed_mps: float) -> float:
    """Middle carry of clean strikes, metres."""
    return LEVEL_M[club] * (speed_mps / 10) ** 1.95


def draw_truth(rng: np.random.Generator) -> Truth:
    """A player drawn around what is usual."""
    return Truth(
        speed_sd=0.03 * math.exp(rng.normal(0, 0.25)),
        strike_sd=0.06 * math.exp(rng.normal(0, 0.2)),
        day_sd=abs(rng.normal(0.03, 0.015)),
        run_log={club: math.log(CHART[club]) + rng.normal(0, 0.25) for club in LEVEL_M},
        run_sd=0.25 * math.exp(rng.normal(0, 0.2)),
        run_day_sd=0.08,
        start_sd_deg=2.2 * math.exp(rng.normal(0, 0.25)),
        start_bias_deg=rng.normal(0, 1.2),
        mishit_share=rng.beta(2, 38),
    )


def book_of(truth: Truth, rng: np.random.Generator, per_cell: int = 5) -> Connection:
    """The rows such a player leaves: four weeks, three clubs, two swing lengths."""
    shots, sessions = [], []
    for week in range(WEEKS):
        day = date(2026, 3, 2) + timedelta(weeks=week)
        green = Green(rng.uniform(8.5, 11), 0.0, 0.0)
        sessions.append(_session(day, green))
        shots += _shots(truth, rng, day, green, per_cell)
    return in_memory({"shots": _table("shots", shots), "sessions": _table("sessions", sessions)})


def chip(rng: np.random.Generator) -> Situation:
    """A chip as courses give them."""
    edge = rng.uniform(1.5, 5)
    green = Green(rng.uniform(8.5, 11), rng.uniform(0, 2), rng.uniform(0, 360))
    return Situation(edge, edge + rng.uniform(4, 12), green)


def _session(day: date, green: Green) -> dict[str, object]:
    return {
        "player_id": PLAYER,
        "session_id": f"{PLAYER}:{day}",
        "day": day,
        "green_speed_ft": green.speed_ft,
        "slope_deg": 0.0,
        "fall_line_deg": 0.0,
        "wetness": "dry",
        "event_id": f"d{day}",
        "import_id": "s",
    }


def _shots(
    truth: Truth, rng: np.random.Generator, day: date, green: Green, per_cell: int
) -> list[dict[str, object]]:
    day_off, run_off = rng.normal(0, truth.day_sd), rng.normal(0, truth.run_day_sd)
    start, rows = datetime(day.year, day.month, day.day, 9, tzinfo=UTC), []
    cells = [(club, length) for club in LEVEL_M for length in LENGTHS] * per_cell
    for number, (club, length) in enumerate(cells, start=1):
        speed = LENGTHS[length] * math.exp(rng.normal(0, truth.speed_sd))
        mishit = rng.random() < truth.mishit_share
        off = rng.normal(-0.35, 0.2) if mishit else rng.normal(0, truth.strike_sd)
        carry = carry_m(club, speed) * math.exp(day_off + off)
        run = carry * math.exp(truth.run_log[club] + run_off + rng.normal(0, truth.run_sd))
        rows.append(
            {
                "player_id": PLAYER,
                "device_number": number,
                "struck_at_utc": start + timedelta(seconds=40 * number),
                "club": club,
                "swing_length": length,
                "club_speed_mps": speed,
                "carry_m": carry,
                "roll_m": run * green.speed_ft / REFERENCE.speed_ft,
                "start_right_deg": rng.normal(truth.start_bias_deg, truth.start_sd_deg),
                "event_id": f"{day}-{number}",
                "import_id": "i",
            }
        )
    return rows


def _table(name: str, rows: list[dict[str, object]]) -> pa.Table:
    schema = arrow_schema(name).append(pa.field("player_id", pa.string()))
    schema = pa.schema([field.with_nullable(True) for field in schema])
    return pa.Table.from_pylist([dict.fromkeys(schema.names) | row for row in rows], schema=schema)
