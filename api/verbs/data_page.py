"""`carrybook data-page`: what the values of one import look like."""

from dataclasses import asdict
from pathlib import Path

import click

from api.verb_options import json_option, print_json, store_option


@click.command()
@click.argument("import_id")
@store_option
@json_option
def command(import_id: str, store: Path, as_json: bool) -> None:
    """Show missing, impossible, rounded and repeated values of one import, in SI units.

    \b
    Example:
      carrybook data-page 3f9a1c
    """
    from analytics.data_page import data_page
    from analytics.db import open_store
    from ingest.store import find_import

    player_id, whole = find_import(store, import_id)
    with open_store(store, player_id) as connection:
        page = data_page(connection, whole)
    if as_json:
        print_json(asdict(page))
        return
    for column in page.columns:
        click.echo(
            f"{column.column:<22} {column.n_rows:>5} rows  {column.lowest:>9.3g} … "
            f"{column.middle:>9.3g} … {column.highest:>9.3g}  {'; '.join(column.remarks)}"
        )
    for entry in page.impossible:
        click.echo(
            f"set aside: {entry.n_rows} rows, column {entry.column or '(whole row)'}, "
            f"{entry.code}, first on line {entry.first_line}"
        )
