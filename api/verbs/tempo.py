"""`carrybook tempo`: ratio and times, drift within a session, and what goes with the miss."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option
from api.wording_options import focus_option, wording_of, wording_options


@click.command()
@player_option
@store_option
@focus_option
@wording_options
@json_option
def command(
    *,
    player: str,
    store: Path,
    declared: str | None,
    length_unit: str,
    speed_unit: str,
    language: str,
    as_json: bool,
) -> None:
    """Tempo by day, never finer than the sensor samples; habits from six sessions on.

    \b
    Example:
      carrybook tempo --player Robin
    """
    from analytics.feedback import feedback
    from analytics.tempos import tempos
    from api.open_player import open_player
    from api.plain_document import plain
    from api.tempo_text import tempo_lines
    from ingest.players import find_player

    say = wording_of(language, length_unit, speed_unit)
    who = find_player(store, player)
    con = open_player(store, who.player_id)
    shown = tempos(feedback(con, who.player_id, declared=declared))
    con.close()
    if as_json:
        print_json(plain(shown))
        return
    for line in tempo_lines(shown, say):
        click.echo(line)
