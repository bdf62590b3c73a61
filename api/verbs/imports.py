"""`carrybook imports`: every file taken in, with its counts and open questions."""

from dataclasses import asdict
from pathlib import Path

import click

from api.verb_options import json_option, print_json, store_option


@click.command()
@store_option
@click.option("--player", help="Only this player's imports: id or display name.")
@click.option("--undone", is_flag=True, help="Those taken back instead of those that stand.")
@json_option
def command(store: Path, player: str | None, undone: bool, as_json: bool) -> None:
    """List the imports, oldest first.

    \b
    Example:
      carrybook imports --player Robin
    """
    from ingest.players import all_players, find_player
    from ingest.store import ledgers

    players = [find_player(store, player)] if player else all_players(store)
    found = [entry for one in players for entry in ledgers(store, one.player_id, undone=undone)]
    if as_json:
        print_json([asdict(entry) for entry in found])
        return
    replaced = {entry.supersedes: entry.import_id for entry in found if entry.supersedes}
    for entry in sorted(found, key=lambda entry: entry.imported_at_utc):
        if entry.import_id in replaced:
            later = replaced[entry.import_id]
            click.echo(f"{entry.import_id[:20]}  {entry.source_name}: replaced by {later[:20]}")
            continue
        doubts = f", {entry.questions_open} open questions" if entry.questions_open else ""
        click.echo(
            f"{entry.import_id[:20]}  {entry.imported_at_utc[:16]}  {entry.player_id:<10}  "
            f"{entry.kind:<7} {entry.source_name}: {entry.rows_in} rows in = "
            f"{entry.rows_kept} kept + {entry.rows_set_aside} set aside + "
            f"{entry.rows_repeated} repeats{doubts}"
        )
    if not found:
        click.echo("No imports." if not undone else "Nothing was taken back.")
