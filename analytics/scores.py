"""How a player's scored tests went: sittings, real-change line, target, stations to work on."""

from dataclasses import dataclass

import numpy as np

from analytics.answer import Answer
from analytics.db import Connection, ask
from analytics.errors import NothingYet
from analytics.score_history import (
    Change,
    Noise,
    Sitting,
    StationList,
    StationScores,
    last_change,
    noise_of_totals,
    stations_to_work_on,
    target_chance,
)
from analytics.scored_test import Rules


@dataclass(frozen=True)
class Doubtful:
    """A sitting that is left out, and why."""

    attempt_id: str
    reason: str


@dataclass(frozen=True)
class ScoreHistory:
    """Everything told about one player's sittings of one test."""

    rules: Rules
    sittings: tuple[Sitting, ...]
    left_out: tuple[Doubtful, ...]
    noise: Noise
    change: Change
    target_chance: Answer | None
    stations: StationList | None


def played_tests(connection: Connection, player_id: str) -> list[str]:
    """Keys (name@version) of the tests with at least one score, sorted."""
    rows = ask(connection, "scores", {"player_id": player_id, "test": None}).to_pylist()
    return sorted({row["test"] for row in rows})


def score_history(connection: Connection, player_id: str, rules: Rules) -> ScoreHistory:
    """Sittings of one test, what changed, the chance of the target, the stations to work on."""
    rows = ask(connection, "scores", {"player_id": player_id, "test": rules.key}).to_pylist()
    whole, left_out = [], []
    for row in rows:
        reason = _why_left_out(row, rules)
        if reason:
            left_out.append(Doubtful(row["attempt_id"], reason))
        else:
            whole.append(Sitting(row["attempt_id"], row["day"], float(row[rules.measure])))
    totals = [sitting.total for sitting in whole]
    return ScoreHistory(
        rules=rules,
        sittings=tuple(whole),
        left_out=tuple(left_out),
        noise=noise_of_totals(totals, rules.total_sd),
        change=last_change(totals, rules),
        target_chance=target_chance(totals, rules) if totals else None,
        stations=_stations(connection, player_id, rules, whole),
    )


def _why_left_out(row: dict[str, int], rules: Rules) -> str:
    if row["n_scores"] > row["n_stations"]:
        return "a station is scored twice"
    if row["n_stations"] < rules.draw:
        return f"{row['n_stations']} of {rules.draw} stations"
    if row[f"n_{rules.measure}"] < rules.draw:
        return f"{rules.measure} missing at a station"
    return ""


def _stations(
    connection: Connection, player_id: str, rules: Rules, sittings: list[Sitting]
) -> StationList | None:
    if len(sittings) < 2:
        return None
    attempts = [sitting.attempt_id for sitting in sittings]
    asked = {"player_id": player_id, "test": rules.key, "attempts": attempts}
    columns = ask(connection, "score_stations", asked).to_pydict()
    seen = StationScores(
        number=tuple(columns["station"]),
        text=tuple(text or "" for text in columns["station_text"]),
        n=np.array(columns["n"], dtype=np.float64),
        mean=np.array(columns["mean"], dtype=np.float64),
        variance=np.array(columns["variance"], dtype=np.float64),
    )
    try:
        return stations_to_work_on(seen, rules)
    except NothingYet:
        return None
