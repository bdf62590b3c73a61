"""`carrybook pair`: which swing struck which ball, and how the two clocks stand to each other."""

from pathlib import Path

import click

from api.verb_options import json_option, print_json, store_option

FILE = click.Path(path_type=Path, exists=True, dir_okay=False)


@click.command()
@click.option("--player", help="Player's id or display name: pair the sessions in the store.")
@click.option("--launch", type=FILE, help="A launch export, to pair two files without a store.")
@click.option("--swings", type=FILE, help="A tempo export, to pair two files without a store.")
@store_option
@json_option
def command(
    player: str | None, launch: Path | None, swings: Path | None, store: Path, as_json: bool
) -> int:
    """Pair swings with balls; offsets are sensor clock minus launch clock, at the session's start.

    A sensor that runs 61 min 20 s ahead shows an offset of +3680 s. What cannot be told is
    refused, with what would mend it: a shared marked event, a hand-set offset, one pair by hand.

    \b
    Examples:
      carrybook pair --player Robin
      carrybook pair --launch monday.csv --swings sensor.csv --json
    """
    if launch and swings:
        from api.pair_files import as_text, pair_files

        document = pair_files(launch, swings)
        if as_json:
            print_json(document)
        else:
            click.echo(as_text(document))
        return 0 if document["verdict"] == "paired" else 1
    if not player or launch or swings:
        raise click.UsageError("give --player, or both --launch and --swings.")
    from dataclasses import asdict

    from api.pair_player import pair_player
    from api.pair_text import clock_lines
    from ingest.players import find_player

    found = pair_player(store, find_player(store, player).player_id)
    if as_json:
        print_json([asdict(one) for one in found])
    else:
        for line in clock_lines(found):
            click.echo(line)
    return 0 if all(one.verdict == "paired" for one in found) else 1
