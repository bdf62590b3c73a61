"""`carrybook layout`: declared layouts, so that the next file of a kind asks nothing."""

from pathlib import Path

import click

from api.reading_options import options_from, reading_options
from api.verb_options import json_option, print_json


@click.group()
def command() -> None:
    """Save, list and show layouts: small text files that say what the columns of an export mean.

    \b
    Example:
      carrybook layout save my-device range.csv --unit carry_m=yd --zone Europe/Madrid
      carrybook layout list
    """


@command.command()
@click.argument("name")
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@reading_options
@json_option
def save(name: str, file: Path, as_json: bool, **given: object) -> None:
    """Save what FILE and the options say about its columns as the layout NAME.

    \b
    Example:
      carrybook layout save my-device range.csv --answer unit:carry_m=yd
    """
    from ingest.layout_files import save_layout
    from ingest.layout_saving import layout_from
    from ingest.read_export import read_export

    options = options_from(given)
    reading = read_export(file, name=file.name, options=options)
    path = save_layout(layout_from(reading, name, options))
    if as_json:
        print_json({"name": name, "path": str(path)})
        return
    click.echo(f"Saved {path}. Files with these headers are read by it from now on.")
    click.echo(f"Next: carrybook preview {file}")


@command.command("list")
@json_option
def list_layouts(as_json: bool) -> None:
    """List the known layouts, yours first."""
    from ingest.layout_files import all_layouts

    found = all_layouts()
    if as_json:
        print_json(
            [
                {"name": x.name, "version": x.version, "kind": x.kind, "headers": len(x.columns)}
                for x in found
            ]
        )
        return
    for layout in found:
        click.echo(f"{layout.label:<28} {layout.kind:<7} {len(layout.columns)} headers")


@command.command()
@click.argument("name")
@json_option
def show(name: str, as_json: bool) -> None:
    """Print the layout NAME as TOML."""
    from dataclasses import asdict

    from ingest.layout_files import find_layout, to_toml

    layout = find_layout(name)
    if as_json:
        print_json(asdict(layout))
        return
    click.echo(to_toml(layout), nl=False)
