"""`carrybook roll-ratio`: how far a chip runs for what it carries."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option(
    "--green-speed",
    type=click.FloatRange(3, 16),
    help="Scale every run to this stimpmeter reading in feet.",
)
@json_option
def command(*, player: str, store: Path, green_speed: float | None, as_json: bool) -> None:
    """Run over carry per club and green speed, with its interval.

    \b
    Example:
      carrybook roll-ratio --player Robin --green-speed 10
    """
    from dataclasses import asdict

    from analytics.carry_to_roll import carry_to_roll
    from analytics.db import open_store
    from api.ladder_text import roll_lines
    from ingest.players import find_player

    who = find_player(store, player)
    connection = open_store(store, who.player_id)
    found = carry_to_roll(connection, who.player_id, green_speed)
    connection.close()
    if as_json:
        print_json({"player_id": who.player_id, "ratios": [asdict(ratio) for ratio in found]})
        return
    for line in roll_lines(found):
        click.echo(line)
    if not found:
        click.echo("No ball with a carry and a run yet.")
