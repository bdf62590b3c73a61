"""`carrybook edit`: correct a row; the correction is an entry of its own and can be undone."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option

ACTIONS = (
    "mishit",
    "clean",
    "exclude",
    "include",
    "club",
    "swing-length",
    "surface",
    "move-player",
)
WITH_VALUE = {"club", "swing-length", "surface", "move-player"}


@click.command()
@click.argument("action", type=click.Choice(ACTIONS))
@click.argument("events", nargs=-1, required=True)
@player_option
@store_option
@click.option("--value", help="New club, swing length, surface, or player.")
@click.option(
    "--target", type=click.Choice(["shots", "swings", "marks", "scores"]), default="shots"
)
@click.option("--by", required=True, help="Who corrects: a short name.")
@click.option("--why", help="The reason in a few words.")
@json_option
def command(
    action: str,
    events: tuple[str, ...],
    *,
    player: str,
    store: Path,
    value: str | None,
    target: str,
    by: str,
    why: str | None,
    as_json: bool,
) -> None:
    """Correct rows by their event ids (see `carrybook export`). The raw rows stay as they are.

    \b
    Example:
      carrybook edit mishit 9c2f0a11b37d4e21 --player Robin --by coach --why "heavy"
    """
    from api.corrections import record
    from ingest.players import find_player

    if (action in WITH_VALUE) != (value is not None):
        raise click.UsageError(f"{action} {'needs' if value is None else 'takes no'} --value.")
    who = find_player(store, player)
    verb = action.replace("-", "_")
    made = record(store, who, verb, events, target=target, value=value, by=by, why=why)
    if as_json:
        print_json(made)
        return
    click.echo(f"{action} recorded for {len(events)} row(s).")
    for import_id in made["import_ids"]:
        click.echo(f"Next: carrybook undo {import_id[:20]} takes it back.")
