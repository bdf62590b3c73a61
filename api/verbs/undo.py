"""`carrybook undo`: take one import back."""

from pathlib import Path

import click

from api.verb_options import json_option, print_json, store_option


@click.command()
@click.argument("import_id")
@store_option
@json_option
def command(import_id: str, store: Path, as_json: bool) -> None:
    """Take an import back; IMPORT_ID is what `carrybook imports` prints, or its first letters.

    Corrections made to its rows since are kept and named: they wait for a redo.

    \b
    Example:
      carrybook undo 3f9a1c
    """
    from api.take_back import take_back

    taken = take_back(store, import_id)
    if as_json:
        print_json(taken)
        return
    click.echo(f"Took back {taken['import_id']} ({taken['source_name']}).")
    for kept in taken["corrections_kept"]:
        click.echo(f"  kept: {kept}")
    click.echo(f"Next: carrybook redo {taken['import_id'][:20]} brings it back.")
