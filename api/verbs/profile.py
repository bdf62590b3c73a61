"""`carrybook profile`: one clear thing, one open thing, one focus, and what they rest on."""

from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option
from api.wording_options import focus_option, window_of, window_option, wording_of, wording_options


@click.command()
@player_option
@store_option
@window_option
@focus_option
@click.option("--rows", "rows_of", help="Print file and line behind this finding, by its key.")
@wording_options
@json_option
def command(
    *,
    player: str,
    store: Path,
    window: tuple[float, float] | None,
    declared: str | None,
    rows_of: str | None,
    length_unit: str,
    speed_unit: str,
    language: str,
    as_json: bool,
) -> None:
    """The whole of a player: findings judged together, curves, three swings to feel, cautions.

    \b
    Example:
      carrybook profile --player Robin --length-unit ft --speed-unit mph
      carrybook profile --player Robin --rows tempo_drift
    """
    from analytics.cautions import usual_limits
    from analytics.evidence import evidence
    from analytics.player_profile import player_profile
    from api.open_player import open_player
    from api.profile_document import profile_document
    from api.profile_text import profile_lines
    from api.row_refs import ref_words
    from ingest.players import find_player

    say = wording_of(language, length_unit, speed_unit)
    who = find_player(store, player)
    con = open_player(store, who.player_id)
    profile = player_profile(con, who.player_id, window_of(window, say), declared)
    con.close()
    if as_json:
        print_json(profile_document(profile, say))
        return
    if rows_of is not None:
        for row in evidence(profile.feedback, rows_of):
            click.echo(ref_words([row]))
        return
    for line in profile_lines(profile, say, usual_limits(profile.age_band)):
        click.echo(line)
