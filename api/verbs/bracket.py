"""`carrybook bracket`: do the two rehearsals hold the window, and is the shot between them?"""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option
from api.wording_options import focus_option, window_of, window_option, wording_of, wording_options


@click.command()
@player_option
@store_option
@window_option
@focus_option
@click.option("--card", type=click.FloatRange(min=0, min_open=True),
              help="Also print three swings to feel for this carry.")  # fmt: skip
@click.option("--rows", "show_rows", is_flag=True, help="Print file and line behind each triple.")
@wording_options
@json_option
def command(
    *,
    player: str,
    store: Path,
    window: tuple[float, float] | None,
    declared: str | None,
    card: float | None,
    show_rows: bool,
    length_unit: str,
    speed_unit: str,
    language: str,
    as_json: bool,
) -> None:
    """Brackets by day: width, window held, shot between; width against own repeatability.

    The first rehearsal is meant a little past the landing window, the second a little short, the
    shot between. What was done (bracket) and what came of it (landings) are told side by side.

    \b
    Example:
      carrybook bracket --player Robin --length-unit ft --window 21.5 26.5
    """
    from analytics.brackets import brackets
    from analytics.feedback import feedback
    from api.bracket_text import bracket_lines
    from api.card_text import card_lines
    from api.carry_card_for import carry_card_for
    from api.open_player import open_player
    from api.plain_document import plain
    from api.row_refs import ref_words
    from ingest.players import find_player

    say = wording_of(language, length_unit, speed_unit)
    who = find_player(store, player)
    con = open_player(store, who.player_id)
    found = feedback(con, who.player_id, window_of(window, say), declared)
    shown = brackets(found)
    feel = None if card is None else carry_card_for(con, found, say.units.to_metres(card))
    con.close()
    if as_json:
        print_json({"brackets": plain(shown), "card": plain(feel)})
        return
    for line in bracket_lines(shown, say):
        click.echo(line)
    if feel is not None:
        click.echo()
        for line in card_lines(feel, say):
            click.echo(line)
    if show_rows:
        for odds in shown.triples:
            click.echo(f"{odds.row.session_id} {odds.row.ball}: {ref_words(odds.row.rows)}")
