"""`carrybook since-fitting`: what changed since a day."""

from datetime import datetime
from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@click.argument("day", type=click.DateTime(["%Y-%m-%d"]), metavar="DAY")
@player_option
@store_option
@json_option
def command(*, day: datetime, player: str, store: Path, as_json: bool) -> None:
    """Carry, spread and mishits: sessions before DAY against those from DAY on.

    \b
    Example:
      carrybook since-fitting 2026-04-01 --player Robin
    """
    from dataclasses import asdict

    from analytics.db import open_store
    from analytics.since_last_fitting import since_last_fitting
    from api.ladder_text import change_lines
    from ingest.players import find_player

    who = find_player(store, player)
    connection = open_store(store, who.player_id)
    found = since_last_fitting(connection, who.player_id, day.date())
    connection.close()
    if as_json:
        changes = [asdict(change) for change in found]
        print_json({"player_id": who.player_id, "fitted_on": day.date(), "changes": changes})
        return
    for line in change_lines(found):
        click.echo(line)
