"""`carrybook conditions`: what the green was like on a day, and where the window lay."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option("--day", required=True, help="Local day of practice: 2026-05-01.")
@click.option("--place", help="Where, as you call it.")
@click.option("--green-speed-ft", type=float, help="Stimpmeter reading in feet.")
@click.option(
    "--rolls-ft",
    nargs=2,
    type=float,
    help="Instead, on a slope: stimpmeter rolls up and down the same line.",
)
@click.option("--slope-deg", type=float, help="Slope of the green around the hole.")
@click.option("--fall-line-deg", type=float, help="Fall line: 0 downhill along the line of play.")
@click.option("--wetness", type=click.Choice(["dry", "damp", "wet"]))
@click.option("--window-near", help="Near end of the landing window from the ball: 20ft, 6.1m.")
@click.option("--window-far", help="Far end of the landing window from the ball.")
@click.option("--gate-width", help="Width between the posts of the start gate: 27in.")
@click.option("--gate-distance", help="Distance from the ball to the start gate.")
@click.option("--edge", help="Distance from the ball to the green's edge.")
@click.option("--hole", help="Distance from the ball to the hole.")
@click.option("--lie-slope-deg", type=float, help="Slope of the lie; + is uphill.")
@click.option("--ball", help="Ball in your words; a change starts a new regime only when stated.")
@click.option("--surface", help="What balls were struck from: mat, grass, rough, sand, wet …")
@click.option("--note", help="Free text.")
@json_option
def command(
    *,
    player: str,
    store: Path,
    day: str,
    rolls_ft: tuple[float, float] | None,
    as_json: bool,
    **given: str | float | None,
) -> None:
    """Enter the conditions of one day; what is not said stays as noted, and undo takes it back.

    \b
    Example:
      carrybook conditions --player Robin --day 2026-05-01 --green-speed-ft 9.5 \\
        --window-near 20ft --window-far 23ft --gate-width 27in --gate-distance 12ft
    """
    from datetime import date

    from api.conditions_entry import conditions_row, enter_conditions
    from ingest.players import find_player

    who = find_player(store, player)
    try:
        parsed = date.fromisoformat(day)
    except ValueError as error:
        raise click.BadParameter(
            f"{day!r} is no day: write 2026-05-01", param_hint="--day"
        ) from error
    made = enter_conditions(store, who, parsed, conditions_row(given, rolls_ft))
    if as_json:
        print_json({"import_id": made.import_id, "new": made.new, **made.rows[0]})
        return
    click.echo(f"Conditions of {parsed} noted for {who.display_name}.")
    click.echo(f"Next: carrybook undo {made.import_id[:20]} takes it back.")
