"""`python -m demo_data OUT_DIR` writes the demo's exports and their truth into OUT_DIR."""

from pathlib import Path

import click

from demo_data.cast import SEED
from demo_data.write import write_demo


@click.command()
@click.argument("out_dir", type=click.Path(file_okay=False, path_type=Path))
@click.option("--seed", default=SEED, show_default=True, help="Another seed, another eight weeks.")
def main(out_dir: Path, seed: int) -> None:
    """Write the demo's exports and their truth into OUT_DIR."""
    book = write_demo(out_dir, seed)
    click.echo(f"{len(book.files)} files in {out_dir}, truth in {out_dir / 'truth.json'}")


main()
