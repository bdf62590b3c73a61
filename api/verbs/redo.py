"""`carrybook redo`: bring back what was taken back."""

from pathlib import Path

import click

from api.verb_options import json_option, print_json, store_option


@click.command()
@click.argument("import_id")
@store_option
@json_option
def command(import_id: str, store: Path, as_json: bool) -> None:
    """Bring back an import that was taken back.

    \b
    Example:
      carrybook redo 3f9a1c
    """
    from api.take_back import bring_back

    found = bring_back(store, import_id)
    if as_json:
        print_json(found)
        return
    click.echo(f"Brought back {found['import_id']} ({found['source_name']}).")
