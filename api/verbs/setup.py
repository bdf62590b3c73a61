"""`carrybook setup`: short set-up notes per block of balls, and what was seen block by block."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option
from api.wording_options import window_of, window_option, wording_of, wording_options


@click.command()
@player_option
@store_option
@click.option("--day", help="Local day of the block: 2026-05-01.")
@click.option("--from-ball", type=click.IntRange(min=1), help="Ball of the day it starts with.")
@click.option("--tag", "tags", multiple=True, help="`topic: words`; may be given several times.")
@click.option("--by", help="Who notes it: a short name.")
@window_option
@wording_options
@json_option
def command(
    *,
    player: str,
    store: Path,
    day: str | None,
    from_ball: int | None,
    tags: tuple[str, ...],
    by: str | None,
    window: tuple[float, float] | None,
    length_unit: str,
    speed_unit: str,
    language: str,
    as_json: bool,
) -> None:
    """Note a set-up from a ball on, or (without --tag) show blocks beside each other.

    Usual topics: stance, ball position, handle, lean, grip length. A difference between blocks is
    what was seen that day; why is not known.

    \b
    Example:
      carrybook setup --player Robin --day 2026-05-01 --from-ball 13 --by coach
          --tag "ball position: back" --tag "handle: forward"
      carrybook setup --player Robin --length-unit ft
    """
    from analytics.feedback import feedback
    from analytics.setup_notes import setup_notes
    from api.open_player import open_player
    from api.plain_document import plain
    from api.setup_text import setup_lines
    from ingest.players import find_player

    say = wording_of(language, length_unit, speed_unit)
    who = find_player(store, player)
    if tags:
        _note(store, who.player_id, (day, from_ball, by), tags)
    con = open_player(store, who.player_id)
    notes = setup_notes(con, feedback(con, who.player_id, window_of(window, say)))
    con.close()
    if as_json:
        print_json(plain(notes))
        return
    for line in setup_lines(notes, say):
        click.echo(line)


def _note(
    store: Path,
    player_id: str,
    where: tuple[str | None, int | None, str | None],
    tags: tuple[str, ...],
) -> None:
    """Record the tags at the ball the block starts with."""
    from api.setup_entry import note_setup

    day, from_ball, by = where
    if day is None or from_ball is None or by is None:
        raise click.UsageError("--tag needs --day, --from-ball and --by.")
    note_setup(store, player_id, day, from_ball, tags, by=by)
