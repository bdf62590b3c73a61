"""`carrybook set-aside`: the rows an import did not keep, to mend and take again."""

from pathlib import Path

import click

from api.verb_options import json_option, print_json, store_option


@click.command()
@click.argument("import_id")
@store_option
@click.option("--out", type=click.Path(path_type=Path), help="Write the rows here, to be mended.")
@json_option
def command(import_id: str, store: Path, out: Path | None, as_json: bool) -> int:
    """List the rows set aside with their reasons; --out writes them in their original layout.

    \b
    Example:
      carrybook set-aside 3f9a1c --out mend.csv
      carrybook import mend.csv --player Robin
    """
    from analytics.db import open_store
    from ingest.read_csv import read_sheets
    from ingest.set_aside import mendable_csv
    from ingest.store import find_import, read_ledger, read_source
    from schemas.store_paths import import_dir

    player_id, whole = find_import(store, import_id)
    with open_store(store, player_id) as connection:
        table = connection.table("set_aside").to_arrow_table()
    rows = [row for row in table.to_pylist() if row["import_id"] == whole]
    rows.sort(key=lambda row: row["source_line"])
    if out is not None and rows:
        folder = import_dir(store, player_id, whole)
        sheet = read_sheets(read_source(folder), name=read_ledger(folder).source_name)[0]
        text = mendable_csv(sheet, [row["source_line"] for row in rows])
        out.write_text(text, "utf-8", newline="")
    if as_json:
        print_json(rows)
        return 1 if rows else 0
    for row in rows:
        where = f", column {row['column']}: {row['value']!r}" if row["column"] else ""
        click.echo(f"line {row['source_line']}{where}: {row['reason']} Mend: {row['mend']}")
    if not rows:
        click.echo("Nothing was set aside.")
        return 0
    if out is not None:
        click.echo(f"Next: mend {out}, then carrybook import {out} --player {player_id}")
    return 1
