"""`carrybook run`: how far each club runs on the green at hand."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option("--green-speed-ft", type=float, required=True, help="Stimpmeter reading in feet.")
@click.option("--slope-deg", type=float, default=0.0, help="Slope of the green.")
@click.option("--fall-line-deg", type=float, default=0.0, help="0: downhill along the line.")
@click.option("--wet", is_flag=True, help="The green is wet: only balls of wet days count.")
@json_option
def command(
    *,
    player: str,
    store: Path,
    green_speed_ft: float,
    slope_deg: float,
    fall_line_deg: float,
    wet: bool,
    as_json: bool,
) -> None:
    """Run over carry per club, carried over to this green by its speed and slope.

    \b
    Example:
      carrybook run --player Robin --green-speed-ft 11 --slope-deg 1.5 --fall-line-deg 180
    """
    from dataclasses import asdict

    from analytics.db import open_store
    from analytics.roll import Green
    from analytics.run_here import runs_here
    from ingest.players import find_player

    who = find_player(store, player)
    connection = open_store(store, who.player_id)
    green = Green(green_speed_ft, slope_deg, fall_line_deg)
    found = runs_here(connection, who.player_id, green, wet)
    connection.close()
    if as_json:
        print_json({"player_id": who.player_id, "runs": [asdict(one) for one in found]})
        return
    for one in found:
        answer = one.ratio
        state = answer.state.replace("_", " ") + (f": {answer.need}" if answer.need else "")
        chart = ", by the trade's chart" if one.from_chart else ""
        click.echo(
            f"{one.club}: runs {answer.value:.2f} × its carry ({answer.low:.2f} to"
            f" {answer.high:.2f}){chart} [{state}]"
        )
    click.echo(f"Next: carrybook plan --player {who.display_name} --help")
