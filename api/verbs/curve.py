"""`carrybook curve`: how far a swing speed carries, per club."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from api.reader_units import ReaderUnits, length_option, speed_option
from api.verb_options import json_option, player_option, print_json, store_option

if TYPE_CHECKING:
    from analytics.power_curve import CarryCurve


@click.command()
@player_option
@store_option
@click.option("--club", help="Only this club, as the kind: SW, PW, 9I …")
@click.option("--by-swing-length", is_flag=True, help="One curve per club and swing length.")
@click.option(
    "--speed",
    type=click.Choice(["club", "ball", "sensor"]),
    default="club",
    show_default=True,
    help="Whose speed the curve reads.",
)
@click.option(
    "--speed-error",
    type=click.FloatRange(0, 30),
    help="Repeat error of the device's speed in percent; corrects the curve for it.",
)
@click.option(
    "--new-club",
    is_flag=True,
    help="With --club: a club not hit yet, expected from the player's others and its loft.",
)
@click.option("--loft", type=click.FloatRange(10, 75), help="Loft of the new club in degrees.")
@click.option("--level", type=click.FloatRange(0.5, 0.99), default=0.9, show_default=True)
@length_option
@speed_option
@json_option
def command(*, player: str, store: Path, as_json: bool, **asked: Any) -> None:  # noqa: ANN401 -- click's
    """Carry against speed for each club: the middle, one clean ball, and any ball.

    The middle's band says how well the curve is known; the one-ball band where a fresh clean
    strike lands; the last one counts mishits in.

    \b
    Examples:
      carrybook curve --player Robin --club SW --length-unit ft
      carrybook curve --player Robin --club LW --new-club --loft 60
    """
    from api.curve_text import curve_document, curve_lines
    from ingest.players import find_player

    who = find_player(store, player)
    curves = _curves(store, who.player_id, asked)
    if as_json:
        documents = [curve_document(curve, asked["level"]) for curve in curves]
        print_json({"player_id": who.player_id, "curves": documents})
        return
    units = ReaderUnits(asked["length_unit"], asked["speed_unit"])
    for curve in curves:
        for line in curve_lines(curve, units, asked["level"]):
            click.echo(line)
        click.echo()
    if not curves:
        click.echo("No ball with a speed and a carry yet.")


def _curves(store: Path, player_id: str, asked: dict[str, Any]) -> "list[CarryCurve]":
    from analytics.carry_curve import carry_curves, only_club
    from analytics.new_club import new_club_curve
    from api.open_player import open_player

    connection = open_player(store, player_id)
    try:
        if asked["new_club"]:
            if not asked["club"]:
                raise click.UsageError("--new-club needs --club.")
            return [new_club_curve(connection, player_id, asked["club"], asked["loft"])]
        error = asked["speed_error"]
        found = carry_curves(
            connection,
            player_id,
            asked["speed"],
            asked["by_swing_length"],
            speed_error_sd=None if error is None else error / 100,
        )
        return only_club(found, asked["club"])
    finally:
        connection.close()
