"""`carrybook mark`: where a ball landed and finished, by its number."""

from datetime import datetime
from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option
from api.when_option import WHEN


@click.command()
@player_option
@store_option
@click.option("--ball", type=click.IntRange(min=0), help="Number of the ball in the session.")
@click.option("--holed", is_flag=True, help="The ball went in.")
@click.option("--leave", help="How far from the hole it stopped: 3'4, 3 ft 4 in, 1.02 m, 4 paces.")
@click.option("--clock", type=float, help="Where: hour on a clock whose 6 is straight below.")
@click.option("--bearing", type=float, help="Where: degrees clockwise from straight below.")
@click.option("--past-hole", help="Along the line of play instead: past the hole, or '2 ft short'.")
@click.option("--right-of-hole", help="With --past-hole: to the right, or '1 ft left'.")
@click.option("--fall-line", type=float, help="Fall line against the line of play, degrees.")
@click.option("--tape-to-hole", help="Two tapes: from the ball to the hole.")
@click.option("--tape-to-peg", help="Two tapes: from the ball to a peg straight below the hole.")
@click.option("--peg-below", default="6 ft", show_default=True, help="How far below the peg is.")
@click.option("--peg-side", type=click.Choice(["left", "right"]), help="Looking down the slope.")
@click.option("--landed", help="Where it landed: past the green's edge, or '2 ft short'.")
@click.option("--landed-right", help="Where it landed: to the right of the line, or '1 ft left'.")
@click.option("--unit", help="Unit of bare numbers: m, cm, ft, in, yd, paces.")
@click.option("--pace-walks", help="Your own pace, as '20 m: 25 26 25' (counted walks).")
@click.option("--at", type=WHEN, help="When, in the player's zone; now by default.")
@click.option("--note", help="Anything else.")
@json_option
def command(
    *,
    player: str,
    store: Path,
    pace_walks: str | None,
    at: datetime | None,
    as_json: bool,
    **said: str | int | float | bool | None,
) -> None:
    """Enter where one ball landed and finished. It can be undone like any import.

    \b
    Example:
      carrybook mark --player Robin --ball 7 --leave "3 ft 4 in" --clock 5 --landed "2 ft"
      carrybook mark --player Robin --ball 8 --holed
      carrybook mark --player Robin --ball 9 --tape-to-hole 1.2m --tape-to-peg 1.5m --peg-side left
    """
    from api.entries import enter_marks, said_mark
    from ingest.players import find_player

    who = find_player(store, player)
    entered = enter_marks(store, who, [said_mark(who, at, said)], pace_walks)
    if as_json:
        print_json(entered.document())
        return
    for line in entered.lines():
        click.echo(line)
