"""`carrybook watch`: import what another program drops into a folder."""

from pathlib import Path

import click

from api.reading_options import options_from, reading_options
from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@player_option
@store_option
@reading_options
@click.option("--for-seconds", type=float, help="Stop after this long; for scripts.")
@json_option
def command(
    folder: Path,
    *,
    player: str,
    store: Path,
    for_seconds: float | None,
    as_json: bool,
    **given: object,
) -> None:
    """Import every export that lands in FOLDER, once it is complete; Ctrl-C ends it.

    A file that grows is taken again and adds only its new rows.

    \b
    Example:
      carrybook watch ~/exports/robin --player Robin
    """
    from api.learn_population import learn_when_due
    from api.take_in import take_in
    from api.verbs.import_ import as_document, as_line
    from api.watching import complete_files
    from ingest.players import find_player

    who = find_player(store, player)
    click.echo(f"Watching {folder} for {who.display_name}; Ctrl-C ends it.", err=True)
    for path in complete_files(folder, stop_after_s=for_seconds):
        for outcome in take_in(store, [path], who, options=options_from(given)):
            if as_json:
                print_json(as_document(outcome))
            else:
                click.echo(as_line(outcome))
        learn_when_due(store)
