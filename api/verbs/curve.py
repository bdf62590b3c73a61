"""`carrybook curve`: how far a swing speed carries, per club."""

from pathlib import Path

import click

from api.reader_units import ReaderUnits, length_option, speed_option
from api.verb_options import json_option, player_option, print_json, store_option


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
@click.option("--level", type=click.FloatRange(0.5, 0.99), default=0.9, show_default=True)
@length_option
@speed_option
@json_option
def command(
    *,
    player: str,
    store: Path,
    club: str | None,
    by_swing_length: bool,
    speed: str,
    speed_error: float | None,
    level: float,
    length_unit: str,
    speed_unit: str,
    as_json: bool,
) -> None:
    """Carry against speed for each club: the middle, one clean ball, and any ball.

    The middle's band says how well the curve is known; the one-ball band where a fresh clean
    strike lands; the last one counts mishits in.

    \b
    Example:
      carrybook curve --player Robin --club SW --length-unit ft
    """
    from analytics.carry_curve import carry_curves, only_club
    from analytics.db import open_store
    from api.curve_text import curve_document, curve_lines
    from ingest.players import find_player

    who = find_player(store, player)
    connection = open_store(store, who.player_id)
    curves = carry_curves(
        connection,
        who.player_id,
        speed,  # type: ignore[arg-type]  # click has checked the choice
        by_swing_length,
        speed_error_sd=None if speed_error is None else speed_error / 100,
    )
    connection.close()
    curves = only_club(curves, club)
    if as_json:
        documents = [curve_document(curve, level) for curve in curves]
        print_json({"player_id": who.player_id, "curves": documents})
        return
    units = ReaderUnits(length_unit, speed_unit)
    for curve in curves:
        for line in curve_lines(curve, units, level):
            click.echo(line)
        click.echo()
    if not curves:
        click.echo("No ball with a speed and a carry yet.")
