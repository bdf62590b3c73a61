"""`carrybook plan`: which club, landing spot and start line for the chip as it lies."""

from pathlib import Path

import click

from api.reader_units import ReaderUnits, length_option, speed_option
from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option("--edge", required=True, help="From the ball to the edge: 10ft, 3 m, 4 paces.")
@click.option("--hole", required=True, help="From the ball to the hole.")
@click.option("--green-speed-ft", type=float, required=True, help="Stimpmeter reading in feet.")
@click.option("--slope-deg", type=float, default=0.0, help="Slope of the green around the hole.")
@click.option("--fall-line-deg", type=float, default=0.0, help="0: downhill along the line.")
@click.option("--wet", is_flag=True, help="The green is wet.")
@click.option("--lie-slope-deg", type=float, default=0.0, help="Lie: + uphill. Adds doubt.")
@click.option("--tail-wind", type=float, default=0.0, help="Wind in m/s, - against. Adds doubt.")
@click.option("--club", "clubs", multiple=True, help="Only this club; may be given several times.")
@click.option("--picture", type=click.Path(path_type=Path), help="Write the plan as SVG.")
@length_option
@speed_option
@json_option
def command(
    *,
    player: str,
    store: Path,
    edge: str,
    hole: str,
    green_speed_ft: float,
    slope_deg: float,
    fall_line_deg: float,
    wet: bool,
    lie_slope_deg: float,
    tail_wind: float,
    clubs: tuple[str, ...],
    picture: Path | None,
    length_unit: str,
    speed_unit: str,
    as_json: bool,
) -> None:
    """The plan that leaves this chip best, by the player's own spread, and how much better.

    \b
    Example:
      carrybook plan --player Robin --edge 10ft --hole 45ft --green-speed-ft 9.5 \\
        --slope-deg 1.5 --fall-line-deg 90 --length-unit ft --picture plan.svg
    """
    from analytics.tape import read_length
    from api.chart_files import as_svg
    from api.charts_plan import plan_figure
    from api.open_player import open_player
    from api.page_view import View
    from api.planning import Asked, plan_document, plan_lines, planned_shot
    from ingest.players import find_player

    who = find_player(store, player)
    asked = Asked(
        read_length(edge).metres,
        read_length(hole).metres,
        green_speed_ft,
        slope_deg,
        fall_line_deg,
        wet,
        lie_slope_deg,
        tail_wind,
        tuple(club.upper() for club in clubs),
    )
    connection = open_player(store, who.player_id)
    told = planned_shot(connection, who.player_id, asked)
    connection.close()
    units = ReaderUnits(length_unit, speed_unit)
    if picture is not None:
        view = View(length=length_unit, speed=speed_unit)
        picture.write_bytes(as_svg(plan_figure(view, told)))
    if as_json:
        print_json(plan_document(who.player_id, told))
        return
    for line in plan_lines(told, units):
        click.echo(line)
