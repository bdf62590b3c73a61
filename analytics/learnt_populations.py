"""What a coach's players have in common, for every kind of curve: learnt from their rows."""

from typing import get_args

from analytics.carry_curve import ASSUMED_BY_KIND, SpeedKind, judged_rows
from analytics.curve_table import curve_table
from analytics.db import Connection, sql
from analytics.population_learning import LEARN_LEAST, learn_population, players_to_learn_from
from analytics.power_curve import CurveSpeed
from analytics.stored_population import Row, population_row

KINDS: tuple[tuple[SpeedKind, bool], ...] = (
    *((kind, split) for kind in get_args(CurveSpeed) for split in (False, True)),
    ("length", True),
)
"""Kinds of curve, each as a whole and split by swing length where there are both."""


def learnt_populations(con: Connection) -> list[Row]:
    """Rows of `population` from all players `con` holds; none of a kind that too few have.

    Args:
        con: views of `analytics.db` over the players of one coach; afterwards they hold what
            curves need and nothing else.
    """
    con.execute(sql("learnt_populations"))
    found = []
    for kind, split in KINDS:
        assumed = ASSUMED_BY_KIND[kind]
        table = curve_table(judged_rows(con, kind, split, assumed), kind, split)
        if players_to_learn_from(table) >= LEARN_LEAST:
            found.append(population_row(learn_population(table, assumed), kind, split))
    return found
