"""`carrybook card`: the carry card, to print or to keep."""

from pathlib import Path

import click

from api.reader_units import ReaderUnits, length_option, speed_option
from api.verb_options import json_option, player_option, print_json, store_option


@click.command()
@player_option
@store_option
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), help="File to write.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["pdf", "csv"]),
    default="pdf",
    show_default=True,
    help="What to write.",
)
@click.option(
    "--size",
    type=click.Choice(["a4", "letter", "pocket"]),
    default="a4",
    show_default=True,
    help="Paper of the PDF.",
)
@length_option
@speed_option
@json_option
def command(
    *,
    player: str,
    store: Path,
    out: Path | None,
    form: str,
    size: str,
    length_unit: str,
    speed_unit: str,
    as_json: bool,
) -> None:
    """Write the player's carry card as PDF or CSV; with --json, print what stands on it.

    \b
    Example:
      carrybook card --player Robin --size pocket --length-unit yd
    """
    from dataclasses import asdict

    from analytics.carry_card import carry_card
    from api.carry_card_print import PAPER, card_csv, card_pdf
    from api.open_player import open_player
    from ingest.players import find_player

    assert size in PAPER
    who = find_player(store, player)
    connection = open_player(store, who.player_id)
    card = carry_card(connection, who.player_id)
    connection.close()
    if as_json:
        print_json(asdict(card))
        return
    units = ReaderUnits(length_unit, speed_unit)
    path = out or Path(f"carry-card-{who.player_id}.{form}")
    if form == "csv":
        path.write_text(card_csv(card, units), "utf-8")
    else:
        path.write_bytes(card_pdf(card, who.display_name, units, size))  # type: ignore[arg-type]  # checked by click
    click.echo(f"{path}: {len(card.rows)} rungs, {card.n_shots} balls.")
