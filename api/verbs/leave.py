"""`carrybook leave`: where chips finish around the hole."""

from pathlib import Path

import click

from api.reader_units import ReaderUnits, length_option
from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option("--club", help="Only this club, as the kind: SW, PW, 9I …")
@click.option("--map", "map_file", type=click.Path(path_type=Path), help="Write the map as SVG.")
@length_option
@json_option
def command(
    *,
    player: str,
    store: Path,
    club: str | None,
    map_file: Path | None,
    length_unit: str,
    as_json: bool,
) -> None:
    """Share of finishes below the hole, near it and in the leave zone, beside the chance line.

    \b
    Example:
      carrybook leave --player Robin --length-unit ft --map leaves.svg
    """
    from analytics.leaves import leaves, placed
    from api.chart_files import as_svg
    from api.charts_leave import face
    from api.leave_text import leave_document, leave_lines
    from api.open_player import open_player
    from api.page_view import View
    from ingest.players import find_player

    who = find_player(store, player)
    connection = open_player(store, who.player_id)
    told = leaves(connection, who.player_id, club)
    connection.close()
    units = ReaderUnits(length_unit)
    if map_file is not None:
        map_file.write_bytes(as_svg(face(View(length=length_unit), placed(told.marks))))
    if as_json:
        print_json(leave_document(who.player_id, told))
        return
    for line in leave_lines(told, units):
        click.echo(line)
    if map_file is not None:
        click.echo(f"Map: {map_file}")
    click.echo("Next: carrybook plan --help")
