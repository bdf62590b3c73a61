"""`carrybook calibrate`: learn at once what the players of a store have in common."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from api.verb_options import json_option, print_json, store_option

if TYPE_CHECKING:
    from analytics.stored_population import Row

KIND_WORDS = {
    "club": "club speed",
    "ball": "ball speed",
    "sensor": "sensor's peak speed",
    "length": "swing length alone",
}


@click.command()
@store_option
@json_option
def command(*, store: Path, as_json: bool) -> None:
    """Learn what is usual from all players: how far players, clubs and days lie apart.

    Curves, ladders and cards lean on it where a player's own balls are few. It is learnt by itself
    as a store grows; this does it now. Each coach's players teach each other only, five at least.

    \b
    Example:
      carrybook calibrate
    """
    from api.learn_population import learn_population_of

    learnt = learn_population_of(store)
    if as_json:
        print_json({"groups": [{"coach": name, "kinds": rows} for name, rows in learnt.items()]})
        return
    for coach, rows in learnt.items():
        for line in _lines(coach or "players without a coach", rows):
            click.echo(line)
    if not learnt:
        click.echo("There is no player to learn from yet.")


def _lines(coach: str, rows: "list[Row]") -> list[str]:
    if not rows:
        few = "fewer than 5 players with such balls; what is assumed of any player holds"
        return [f"{coach}: {few}"]
    return [f"{coach}:", *(_line(row) for row in rows)]


def _line(row: "Row") -> str:
    from analytics.curve_cells import PRIOR_EXPONENT

    def percent(name: str) -> str:
        return f"{100 * float(row[name]) ** 0.5:.0f} %"

    kind, exponent = KIND_WORDS[str(row["speed_kind"])], ""
    if row["speed_kind"] != "length":
        kind += " by swing length" if row["by_swing_length"] else ""
        exponent = f"exponent {PRIOR_EXPONENT + float(row['exponent_more']):.2f}; "
    return (
        f"  {kind}, {row['n_players']} players: {exponent}"
        f"players {percent('player_level_variance')} of carry apart, "
        f"a player's clubs {percent('club_level_variance')}, "
        f"one ball {100 * float(row['shot_sd_ln']):.1f} %, "
        f"mishits {100 * float(row['mishit_share']):.0f} %"
    )
