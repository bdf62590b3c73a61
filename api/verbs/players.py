"""`carrybook players`: who is in the book."""

from dataclasses import asdict
from pathlib import Path

import click

from api.verb_options import json_option, own_store_option, print_json, store_option


@click.group(invoke_without_command=True)
@store_option
@json_option
@click.pass_context
def command(ctx: click.Context, store: Path, as_json: bool) -> None:
    """List the players, or add one.

    \b
    Example:
      carrybook players
      carrybook players add Robin --left-handed --zone Europe/Madrid
    """
    from ingest.players import all_players

    ctx.obj = store
    if ctx.invoked_subcommand:
        return
    found = all_players(store)
    if as_json:
        print_json([asdict(player) for player in found])
        return
    for player in found:
        junior = ", junior" if player.age_band == "junior" else ""
        click.echo(
            f"{player.player_id:<12} {player.display_name} "
            f"({player.handedness}-handed{junior}, {player.zone})"
        )
    if not found:
        click.echo("No player yet. Add one: carrybook players add NAME")


@command.command()
@click.argument("name")
@click.option("--id", "player_id", help="Identity to use; a fresh opaque one by default.")
@click.option("--left-handed", is_flag=True, help="The player swings left-handed.")
@click.option("--junior", is_flag=True, help="Pages of a junior are private by default.")
@click.option("--guardian-consent", is_flag=True, help="A guardian agreed to sharing results.")
@click.option("--zone", default="UTC", show_default=True, help="IANA time zone of the home green.")
@click.option("--coach", help="Whose player, where several coaches share the book.")
@own_store_option
@json_option
@click.pass_obj
def add(
    store: Path,
    *,
    name: str,
    player_id: str | None,
    left_handed: bool,
    junior: bool,
    guardian_consent: bool,
    zone: str,
    coach: str | None,
    own_store: Path | None,
    as_json: bool,
) -> None:
    """Add a player; a first name is enough.

    \b
    Example:
      carrybook players add Robin --zone Europe/Madrid
    """
    from ingest.players import Player, add_player, new_player_id

    player = Player(
        player_id=player_id or new_player_id(),
        display_name=name,
        handedness="left" if left_handed else "right",
        age_band="junior" if junior else "adult",
        guardian_consent=guardian_consent,
        zone=zone,
        coach=coach or None,
    )
    add_player(own_store or store, player)
    if as_json:
        print_json(asdict(player))
        return
    click.echo(f"Added {player.display_name} as {player.player_id}.")
    click.echo(f"Next: carrybook import FILE --player {player.player_id}")
