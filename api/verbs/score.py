"""`carrybook score`: enter a scored test, or see how it went over time."""

from datetime import datetime
from pathlib import Path

import click

from api.verb_options import json_option, player_option, print_json, store_option
from api.when_option import WHEN


@click.command()
@player_option
@store_option
@click.argument("test", required=False)
@click.argument("scores", nargs=-1)
@click.option("--sheet", is_flag=True, help="Print the stations to play; nothing is entered.")
@click.option("--seed", type=int, default=0, help="Draw of a drawn test, the same on the sheet.")
@click.option(
    "--rules",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    help="Folder of own tests beside those kept by `carrybook tests add`.",
)
@click.option("--at", type=WHEN, help="When, in the player's zone; now by default.")
@click.option("--partial", is_flag=True, help="Keep a sitting that has stations missing.")
@json_option
def command(
    *,
    player: str,
    store: Path,
    test: str | None,
    scores: tuple[str, ...],
    sheet: bool,
    seed: int,
    rules: Path | None,
    at: datetime | None,
    partial: bool,
    as_json: bool,
) -> None:
    """Without scores: the history of TEST, or of all tests played. With scores: enter a sitting.

    One word per station in the order of play: strokes (2, or 2:4ft with the chip's leave), where
    the chip finished (4ft@5, distance @ clock hour; holed), x or o for hit or miss, y and n for
    what is judged by eye.

    \b
    Example:
      carrybook score --player Robin nine-station-low-side --sheet --seed 7
      carrybook score --player Robin nine-station-hole-out 2 3 2:4ft 2 3 2 2 3 2
      carrybook score --player Robin nine-station-hole-out
    """
    from api.scoring import Telling, history_of, sheet_of, take_sitting
    from ingest.players import find_player

    who = find_player(store, player)
    told: list[Telling]
    if test is not None and sheet:
        told = [sheet_of(store, who, test, rules, seed=seed)]
    elif test is not None and scores:
        told = [take_sitting(store, who, test, scores, rules, seed=seed, at=at, partial=partial)]
    else:
        told = list(history_of(store, who, test, rules))
    if as_json:
        print_json([one.document() for one in told])
        return
    for line in (line for one in told for line in one.lines()):
        click.echo(line)
    if not told:
        click.echo("No test played yet. Tests: carrybook score --player NAME TEST --sheet")
