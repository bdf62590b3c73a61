"""`carrybook demo`: a coach's book with five invented players."""

import time
from pathlib import Path

import click

from api.reader_units import ReaderUnits, length_option, speed_option
from api.verb_options import json_option, print_json, store_option


@click.command(context_settings={"default_map": {"length_unit": "ft", "speed_unit": "mph"}})
@store_option
@length_option
@speed_option
@json_option
def command(store: Path, length_unit: str, speed_unit: str, as_json: bool) -> None:
    """Write the demo's exports, take them in, and print what a coach would want to know first.

    Run again it finds everything there and changes nothing.

    \b
    Example:
      carrybook demo --store demo-store
      carrybook serve --store demo-store
    """
    from analytics.player_profile import player_profile
    from api.demo_book import build_demo
    from api.open_player import open_player
    from api.progress import progress_bar
    from api.short_answer import short_answer
    from api.wording import Wording
    from ingest.import_file import Imported

    began = time.monotonic()
    with progress_bar("files") as progress:
        book = build_demo(store, progress)
    taken = [outcome for outcome in book.outcomes if isinstance(outcome, Imported)]
    new = sum(outcome.new for outcome in taken)
    rows = sum(outcome.ledger.rows_kept for outcome in taken)
    say = Wording("en", ReaderUnits(length_unit, speed_unit))
    answers: dict[str, list[str]] = {}
    for player in book.players:
        with open_player(store, player.player_id) as connection:
            profile = player_profile(connection, player.player_id)
        answers[player.player_id] = list(short_answer(profile, say))
    if as_json:
        counts = {"files": len(book.outcomes), "files_new": new, "rows_kept": rows}
        print_json({**counts, "exports": str(book.exports), "players": answers})
        return
    click.echo(
        f"{len(book.outcomes)} exports in {book.exports}, {new} new, {rows} rows "
        f"({time.monotonic() - began:.0f} s)."
    )
    for lines in answers.values():
        click.echo("")
        click.echo("\n".join(lines))
    click.echo(f"\nNext: carrybook serve --store {store} (or `make serve`), then open the address.")
