"""What a store has learnt of its players, as rows of `population` and back.

Rules
-----
1. A player's answers rest on what the players of the same coach have in common and on nothing else
   of them: nobody's numbers cross from one coach to another, and nobody's can be read from a row.
2. Where nothing was learnt (fewer than five players with such balls) what is assumed holds.
"""

import hashlib
from collections.abc import Mapping

import numpy as np
import pyarrow as pa

from analytics.db import Connection, Parameter, ask
from analytics.pooling import Step
from analytics.population import Population
from schemas.tables import arrow_schema

Row = dict[str, str | int | float | bool]


def stored_population(con: Connection, speed_kind: str, by_swing_length: bool) -> Population | None:
    """What was learnt for the one player `con` holds; None where nothing was.

    Args:
        con: views of `analytics.db` over one player.
        speed_kind: club, ball, sensor or length; by_swing_length: whether curves are split by it.
    """
    asked: dict[str, Parameter] = {"speed_kind": speed_kind, "by_swing_length": by_swing_length}
    found = ask(con, "stored_population", asked).to_pylist()
    return _population(found[0]) if found else None


def population_row(found: Population, speed_kind: str, by_swing_length: bool) -> Row:
    """The row of what was learnt; its group and version are given by `population_table`."""
    row: Row = {
        "speed_kind": speed_kind,
        "by_swing_length": by_swing_length,
        "n_players": found.n_players,
        "level_ln": found.level,
        "exponent_more": found.exponent,
        **_variances("typical", found.root),
        **_variances("player", found.players),
        **_variances("club", found.clubs),
        **_variances("swing", found.lengths),
        "shot_sd_ln": found.shot_sd,
        "shot_freedom": found.shot_dof,
        "day_weights": " ".join(f"{weight:.6g}" for weight in found.day_weights),
        "mishit_share": found.mishit_share,
        "mishit_worth": found.mishit_worth,
    }
    return {name: _rounded(value) for name, value in row.items()}


def population_table(groups: Mapping[str, list[Row]]) -> pa.Table:
    """Rows of every group, each with its group and the version of all that group learnt."""
    rows: list[Row] = []
    for group, learnt in sorted(groups.items()):
        told = repr([sorted(row.items()) for row in learnt])
        version = hashlib.sha256(told.encode()).hexdigest()[:8]
        rows += [{"coach_group": group, "version": version, **row} for row in learnt]
    return pa.Table.from_pylist(rows, schema=arrow_schema("population"))


def _rounded(value: str | float | bool) -> str | float | bool:
    """Last digits differ from run to run; the version of what was learnt must not."""
    return float(f"{value:.9g}") if isinstance(value, float) else value


def _variances(who: str, step: Step) -> Row:
    return {
        f"{who}_level_variance": float(step.level),
        f"{who}_exponent_variance": float(step.exponent),
    }


def _population(row: Mapping[str, object]) -> Population:
    def number(name: str) -> float:
        return float(str(row[name]))

    def step(who: str) -> Step:
        return Step(number(f"{who}_level_variance"), number(f"{who}_exponent_variance"))

    weights = np.array([float(weight) for weight in str(row["day_weights"]).split()])
    return Population(
        level=number("level_ln"),
        exponent=number("exponent_more"),
        root=step("typical"),
        players=step("player"),
        clubs=step("club"),
        lengths=step("swing"),
        shot_sd=number("shot_sd_ln"),
        shot_dof=number("shot_freedom"),
        day_weights=weights / weights.sum(),
        mishit_share=number("mishit_share"),
        mishit_worth=number("mishit_worth"),
        n_players=int(number("n_players")),
        version=str(row["version"]),
    )
