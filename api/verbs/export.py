"""`carrybook export`: a player's rows as CSV or Parquet, for a spreadsheet or another tool."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option(
    "--table",
    type=click.Choice(["shots", "swings"]),
    default="shots",
    show_default=True,
    help="Which rows.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["csv", "parquet", "arrow", "json"]),
    default="csv",
    show_default=True,
    help="How to write them. CSV is safe to open in a spreadsheet.",
)
@click.option(
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File to write; left out: TABLE-PLAYER.FORMAT here. An existing file is not replaced.",
)
@json_option
def command(
    *, player: str, store: Path, table: str, form: str, output: Path | None, as_json: bool
) -> None:
    """Write a player's rows, corrections applied, with units in the column names.

    \b
    Example:
      carrybook export --player Robin --table shots --format parquet
    """
    from api.export_rows import export_rows
    from ingest.players import find_player

    who = find_player(store, player)
    target = output or Path(f"{table}-{who.player_id}.{form}")
    rows = export_rows(store, who.player_id, table, form, target)
    if as_json:
        print_json({"player_id": who.player_id, "table": table, "file": str(target), "rows": rows})
    else:
        click.echo(f"{rows} {table} of {who.display_name} written to {target}.")
