"""`carrybook next-shot`: which ball to hit next for the card."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@json_option
def command(*, player: str, store: Path, as_json: bool) -> None:
    """Club and swing length that shrinks what is still open the most, and what remains.

    \b
    Example:
      carrybook next-shot --player Robin
    """
    from dataclasses import asdict

    from analytics.next_best_shot import next_best_shot
    from api.ladder_text import advice_lines
    from api.open_player import open_player
    from ingest.players import find_player

    who = find_player(store, player)
    connection = open_player(store, who.player_id)
    advice = next_best_shot(connection, who.player_id)
    connection.close()
    if as_json:
        print_json({"player_id": who.player_id} | asdict(advice))
        return
    for line in advice_lines(advice):
        click.echo(line)
