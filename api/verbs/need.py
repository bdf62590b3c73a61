"""`carrybook need`: which speed a carry needs."""

from pathlib import Path

import click

from api.reader_units import ReaderUnits, length_option, speed_option
from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.argument("carry", type=click.FloatRange(min=0, min_open=True))
@click.option("--club", help="Only this club, as the kind: SW, PW, 9I …")
@click.option("--level", type=click.FloatRange(0.5, 0.99), default=0.9, show_default=True)
@length_option
@speed_option
@json_option
def command(
    *,
    player: str,
    store: Path,
    carry: float,
    club: str | None,
    level: float,
    length_unit: str,
    speed_unit: str,
    as_json: bool,
) -> int:
    """Speed, and swing length where they are named, that a carry of CARRY needs, per club.

    Ends with 1 when no club can be asked for that carry.

    \b
    Example:
      carrybook need 24 --length-unit ft --player Robin
    """
    from dataclasses import asdict

    from analytics.speed_for import speeds_for
    from api.open_player import open_player
    from api.speed_for_text import need_lines
    from ingest.players import find_player

    who = find_player(store, player)
    units = ReaderUnits(length_unit, speed_unit)
    connection = open_player(store, who.player_id)
    found = speeds_for(connection, who.player_id, units.to_metres(carry), club, level)
    connection.close()
    if as_json:
        needs = [asdict(need) for need in found]
        document = {"player_id": who.player_id, "carry_m": units.to_metres(carry), "needs": needs}
        print_json(document)
    else:
        for line in need_lines(found, units):
            click.echo(line)
    return 0 if any(need.speed is not None for need in found) else 1
