"""`carrybook progress`: what changed over the weeks, and what did not."""

from pathlib import Path

import click

from api.reader_units import ReaderUnits, length_option
from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option(
    "--rules", type=click.Path(path_type=Path, exists=True, file_okay=False), help="Own tests."
)
@length_option
@json_option
def command(
    *, player: str, store: Path, rules: Path | None, length_unit: str, as_json: bool
) -> None:
    """Leaves day by day with their conditions, scored tests, homework done.

    Days are compared, not balls; wet days stand apart; "no change seen" is an answer.

    \b
    Example:
      carrybook progress --player Robin --length-unit ft
    """
    from analytics.scored_rules import known_rules
    from api.open_player import open_player
    from api.weeks_text import weeks_document, weeks_lines, weeks_of
    from ingest.players import find_player

    who = find_player(store, player)
    connection = open_player(store, who.player_id)
    told = weeks_of(connection, who.player_id, known_rules(store, who.coach, rules))
    connection.close()
    if as_json:
        print_json(weeks_document(told))
        return
    for line in weeks_lines(told, ReaderUnits(length_unit)):
        click.echo(line)
