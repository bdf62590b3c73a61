"""`carrybook live`: the last triple in the terminal, seconds after a device's export grows."""

from pathlib import Path

import click

from api.reading_options import options_from, reading_options
from api.verb_options import json_option, player_option, print_json, store_option
from api.wording_options import window_of, window_option, wording_of, wording_options


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@player_option
@store_option
@window_option
@click.option("--cap", type=click.IntRange(min=1), help="Balls after which it says stop.")
@click.option("--for-seconds", type=float, help="Stop after this long; for scripts.")
@reading_options
@wording_options
@json_option
def command(
    folder: Path,
    *,
    player: str,
    store: Path,
    window: tuple[float, float] | None,
    cap: int | None,
    for_seconds: float | None,
    length_unit: str,
    speed_unit: str,
    language: str,
    as_json: bool,
    **given: object,
) -> None:
    """Watch FOLDER, take in what grows, and show the last triple around the window.

    Only the last balls are paired anew. Keep clear of anybody swinging while you read.

    \b
    Example:
      carrybook live ~/exports/robin --player Robin --window 21.5 26.5 --length-unit ft
    """
    from api.live_view import LiveView
    from api.plain_document import plain
    from ingest.players import find_player

    say = wording_of(language, length_unit, speed_unit)
    who = find_player(store, player)
    click.echo(say.text("live.waiting"), err=True)
    view = LiveView(store, who, window_of(window, say), cap)
    for shown in view.follow(folder, options_from(given), for_seconds):
        if as_json:
            print_json(plain(shown.now))
            continue
        for line in view.lines(shown, say):
            click.echo(line)
