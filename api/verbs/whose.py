"""`carrybook whose`: rows that look like another player's balls."""

from dataclasses import asdict
from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@json_option
def command(player: str, store: Path, as_json: bool) -> None:
    """List runs of a player's balls that another player explains better; moves nothing.

    \b
    Example:
      carrybook whose --player Robin
    """
    from analytics.db import open_store
    from analytics.foreign_rows import foreign_rows
    from ingest.players import all_players, find_player

    who = find_player(store, player)
    names = {one.player_id: one.display_name for one in all_players(store)}
    with open_store(store) as connection:
        found = foreign_rows(connection, who.player_id)
    if as_json:
        print_json([asdict(run) for run in found])
        return
    for run in found:
        lines = f"{min(run.source_lines)} to {max(run.source_lines)}"
        click.echo(
            f"{run.session_id.partition(':')[2]}: {len(run.event_ids)} balls (lines {lines} of "
            f"import {run.import_ids[0][:20]}) look like {names.get(run.looks_like)}'s."
        )
        events = " ".join(run.event_ids)
        click.echo(
            f"  If so: carrybook edit move-player {events} --player {who.player_id} "
            f"--value {run.looks_like} --by NAME"
        )
    if not found:
        click.echo(f"Every run of balls looks like {who.display_name}'s own.")
