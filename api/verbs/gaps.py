"""`carrybook gaps`: are neighbouring rungs of the ladder told apart?"""

from pathlib import Path

import click

from api.reader_units import ReaderUnits, length_option
from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option(
    "--widest",
    type=click.FloatRange(10, 200),
    default=35,
    show_default=True,
    help="Gap in percent of the shorter carry above which it is too wide.",
)
@length_option
@json_option
def command(*, player: str, store: Path, widest: float, length_unit: str, as_json: bool) -> None:
    """Gaps and overlaps between neighbouring clubs and swing lengths.

    \b
    Example:
      carrybook gaps --player Robin
    """
    from dataclasses import asdict

    from analytics.gaps import gaps
    from api.ladder_text import gap_lines
    from api.open_player import open_player
    from ingest.players import find_player

    who = find_player(store, player)
    connection = open_player(store, who.player_id)
    found = gaps(connection, who.player_id, widest / 100)
    connection.close()
    if as_json:
        print_json({"player_id": who.player_id, "gaps": [asdict(gap) for gap in found]})
        return
    for line in gap_lines(found, ReaderUnits(length_unit)):
        click.echo(line)
    if not found:
        click.echo("There are no two rungs yet.")
