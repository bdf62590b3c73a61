"""`carrybook sheet`: the lesson on one side of paper."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from api.reader_units import length_option, speed_option
from api.text_catalogue import languages
from api.verb_options import json_option, player_option, print_json, store_option

if TYPE_CHECKING:
    from api.lesson_sheet_print import Paper


@click.command()
@player_option
@store_option
@click.option("--out", type=click.Path(path_type=Path), help="PDF to write; NAME-sheet.pdf.")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@click.option("--day", type=click.DateTime(["%Y-%m-%d"]), help="Day it is made for; today.")
@click.option(
    "--language",
    type=click.Choice(list(languages())),
    default="en",
    show_default=True,
    help="Language of the sheet.",
)
@click.option(
    "--rules", type=click.Path(path_type=Path, exists=True, file_okay=False), help="Own tests."
)
@length_option
@speed_option
@json_option
def command(
    *,
    player: str,
    store: Path,
    out: Path | None,
    paper: "Paper",
    day: datetime | None,
    language: str,
    rules: Path | None,
    length_unit: str,
    speed_unit: str,
    as_json: bool,
) -> None:
    """What is clear, what is open, carry card, bracket, leave map, tests, homework.

    \b
    Example:
      carrybook sheet --player Robin --length-unit ft --paper letter --out robin.pdf
    """
    from dataclasses import asdict
    from datetime import UTC
    from zoneinfo import ZoneInfo

    from analytics.lesson import lesson
    from analytics.scored_rules import known_rules
    from api.lesson_sheet import sheet_of
    from api.lesson_sheet_print import sheet_pdf
    from api.open_player import open_player
    from api.page_view import View
    from api.uploads import safe_name
    from ingest.players import find_player

    who = find_player(store, player)
    view = View(language, length_unit, speed_unit)
    connection = open_player(store, who.player_id)
    told = lesson(connection, who.player_id, known_rules(store, who.coach, rules))
    connection.close()
    made_on = day.date() if day else datetime.now(UTC).astimezone(ZoneInfo(who.zone)).date()
    sheet = sheet_of(view, told, made_on)
    if as_json:
        print_json(asdict(sheet))
        return
    place = out or Path(safe_name(f"{sheet.name.lower()}-sheet.pdf"))
    place.write_bytes(sheet_pdf(view, sheet, paper))
    click.echo(f"Sheet: {place}")
