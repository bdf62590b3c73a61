"""`carrybook ladder`: what each club and swing length carries."""

from pathlib import Path

import click

from api.reader_units import ReaderUnits, length_option
from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option("--level", type=click.FloatRange(0.5, 0.99), default=0.9, show_default=True)
@length_option
@json_option
def command(*, player: str, store: Path, level: float, length_unit: str, as_json: bool) -> None:
    """Carry of each club and named swing length, shortest first; needs no speed.

    \b
    Example:
      carrybook ladder --player Robin --length-unit yd
    """
    from dataclasses import asdict

    from analytics.carry_ladder import carry_ladder
    from api.ladder_text import ladder_lines
    from api.open_player import open_player
    from ingest.players import find_player

    who = find_player(store, player)
    connection = open_player(store, who.player_id)
    ladder = carry_ladder(connection, who.player_id, level)
    connection.close()
    if as_json:
        print_json({"player_id": who.player_id, "ladder": [asdict(rung) for rung in ladder]})
        return
    for line in ladder_lines(ladder, ReaderUnits(length_unit)):
        click.echo(line)
