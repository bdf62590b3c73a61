"""`carrybook erase`: remove a player everywhere."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option("--yes", is_flag=True, help="Do not ask; for scripts.")
@json_option
def command(player: str, store: Path, yes: bool, as_json: bool) -> None:
    """Remove a player from the store: rows, files as received, what was taken back, answers, keys.

    This cannot be undone. Copies that you exported or backed up elsewhere stay where they are.

    \b
    Example:
      carrybook erase --player Robin
    """
    from api.erase_player import erase_player
    from ingest.players import find_player

    who = find_player(store, player)
    if not yes:
        click.confirm(f"Remove all of {who.display_name} ({who.player_id}) for good?", abort=True)
    removed = erase_player(store, who.player_id)
    if as_json:
        print_json({"player_id": who.player_id, "removed": removed})
        return
    for path in removed:
        click.echo(f"  removed {path}")
    click.echo(f"{len(removed)} entries removed.")
