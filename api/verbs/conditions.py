"""`carrybook conditions`: what the green was like on a day, and where the window lay."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option

LENGTHS = {
    "window_near": "window_near_m",
    "window_far": "window_far_m",
    "gate_width": "gate_width_m",
    "gate_distance": "gate_distance_m",
    "edge": "edge_m",
    "hole": "hole_m",
}


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
    """Enter the conditions of one day; the newest entry of a day counts, and undo takes it back.

    \b
    Example:
      carrybook conditions --player Robin --day 2026-05-01 --green-speed-ft 9.5 \\
        --window-near 20ft --window-far 23ft --gate-width 27in --gate-distance 12ft
    """
    from datetime import date

    from analytics.roll import flat_speed_ft
    from analytics.tape import read_length
    from ingest.hand_entry import Cell, enter
    from ingest.players import find_player
    from ingest.surfaces import read_surface

    who = find_player(store, player)
    try:
        parsed = date.fromisoformat(day)
    except ValueError as error:
        raise click.BadParameter(
            f"{day!r} is no day: write 2026-05-01", param_hint="--day"
        ) from error
    row: dict[str, Cell] = {"session_id": f"{who.player_id}:{parsed}", "day": parsed}
    if rolls_ft is not None:
        row["green_speed_ft"] = flat_speed_ft(*rolls_ft)
    for name, value in given.items():
        if value is None:
            continue
        length = LENGTHS.get(name)
        row[length or name] = read_length(str(value)).metres if length else value
    if "surface" in row:
        row["surface"] = read_surface(str(row["surface"]))
    near, far = row.get("window_near_m"), row.get("window_far_m")
    if isinstance(near, float) and isinstance(far, float) and near >= far:
        raise click.BadParameter("the near end is the smaller one", param_hint="--window-near")
    made = enter(store, who.player_id, "sessions", [row], source_name=f"conditions of {parsed}")
    if as_json:
        print_json({"import_id": made.import_id, "new": made.new, **row})
        return
    click.echo(f"Conditions of {parsed} noted for {who.display_name}.")
    click.echo(f"Next: carrybook undo {made.import_id[:20]} takes it back.")
