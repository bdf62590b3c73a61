"""`carrybook landing`: window share, start gate, direction, what a miss is made of, mishits."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option
from api.wording_options import focus_option, window_of, window_option, wording_of, wording_options


@click.command()
@player_option
@store_option
@window_option
@focus_option
@wording_options
@json_option
def command(
    *,
    player: str,
    store: Path,
    window: tuple[float, float] | None,
    declared: str | None,
    length_unit: str,
    speed_unit: str,
    language: str,
    as_json: bool,
) -> None:
    """Shares in the window and through the gate beside the best the player's spread allows.

    \b
    Example:
      carrybook landing --player Robin --length-unit ft
    """
    from analytics.feedback import feedback
    from analytics.landings import landings
    from api.landing_text import landing_lines
    from api.open_player import open_player
    from api.plain_document import plain
    from ingest.players import find_player

    say = wording_of(language, length_unit, speed_unit)
    who = find_player(store, player)
    con = open_player(store, who.player_id)
    shown = landings(feedback(con, who.player_id, window_of(window, say), declared))
    con.close()
    if as_json:
        print_json(plain(shown))
        return
    for line in landing_lines(shown, say):
        click.echo(line)
