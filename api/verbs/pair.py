"""`carrybook pair`: which swing struck which ball, of a player's store or of two files alone."""

from pathlib import Path

import click

from api.verb_options import json_option, print_json, store_option

HAND = "as LAUNCH=SWING: lines of the two files, or event ids of the store"


@click.command()
@store_option
@click.option("--player", help="Pair this player's sessions in the store.")
@click.option(
    "--launch",
    type=click.Path(path_type=Path),
    multiple=True,
    help="Launch export, without a store; again for each file of the session.",
)
@click.option(
    "--swings",
    type=click.Path(path_type=Path),
    multiple=True,
    help="Swing export, without a store; again for each file of the session.",
)
@click.option("--offset", "offset", help="Clock offset set by hand: seconds (files) or SESSION=S.")
@click.option("--pin", "pins", multiple=True, help=f"These belong together, {HAND}.")
@click.option("--forbid", "forbids", multiple=True, help=f"These do not, {HAND}.")
@click.option("--role", "roles", multiple=True, help="What a swing was: SWING=ROLE[=SHOT] (store).")
@click.option("--by", default="coach", show_default=True, help="Who settles it by hand.")
@json_option
def command(
    *,
    store: Path,
    player: str | None,
    launch: tuple[Path, ...],
    swings: tuple[Path, ...],
    offset: str | None,
    pins: tuple[str, ...],
    forbids: tuple[str, ...],
    roles: tuple[str, ...],
    by: str,
    as_json: bool,
) -> int:
    """Pair shots with swings across two clocks, and say so when that cannot be done.

    offset_s is the sensor's clock minus the launch device's clock at the session's first shot: a
    sensor that runs 61 min 20 s ahead has +3680. Drift is in parts per million, residual_s is what
    the clock map leaves over, margin how many nats it beats the runner-up by. Exit code 1: some
    session could not be paired.

    \b
    Examples:
      carrybook pair --launch launch.csv --swings swings.csv --json
      carrybook pair --player Robin
      carrybook pair --player Robin --offset q3fk82:2025-10-29=3680
    """
    if bool(launch) != bool(swings) or bool(launch) == bool(player):
        raise click.UsageError("give --launch and --swings, or --player.")
    if launch:
        if roles:
            raise click.UsageError("--role goes with --player.")
        return _files(launch, swings, offset=offset, pins=pins, forbids=forbids, as_json=as_json)
    settled = [("pin_pair", *_split(one)) for one in pins]
    settled += [("forbid_pair", *_split(one)) for one in forbids]
    settled += [("role", *_split(one)) for one in roles]
    if offset is not None:
        session, value = _split(offset)
        settled.append(("clock_offset", session, str(_seconds(value))))
    return _player(store, str(player), settled, by=by, as_json=as_json)


def _files(
    launch: tuple[Path, ...],
    swings: tuple[Path, ...],
    *,
    offset: str | None,
    pins: tuple[str, ...],
    forbids: tuple[str, ...],
    as_json: bool,
) -> int:
    from api.pair_files import pair_files
    from api.pair_text import file_lines

    found = pair_files(
        launch,
        swings,
        offset_hint_s=None if offset is None else _seconds(offset),
        pins=tuple(_line_pair(one) for one in pins),
        forbids=tuple(_line_pair(one) for one in forbids),
    )
    if as_json:
        print_json(found)
    else:
        for line in file_lines(found):
            click.echo(line)
    return 0 if found["verdict"] == "paired" else 1


def _player(
    store: Path, player: str, settled: list[tuple[str, str, str]], *, by: str, as_json: bool
) -> int:
    from dataclasses import asdict

    from api.pair_by_hand import settle_by_hand
    from api.pair_player import pair_player
    from api.pair_text import session_lines
    from ingest.players import find_player

    who = find_player(store, player)
    if settled:
        settle_by_hand(store, who.player_id, settled, by=by)
    maps = pair_player(store, who.player_id)
    if as_json:
        print_json([asdict(one) for one in maps])
    else:
        for line in session_lines(maps):
            click.echo(line)
    return 0 if all(one.verdict == "paired" for one in maps) else 1


def _split(text: str) -> tuple[str, str]:
    first, found, second = text.partition("=")
    if not found or not first or not second:
        raise click.UsageError(f"{text!r} is not of the form A=B.")
    return first.strip(), second.strip()


def _line_pair(text: str) -> tuple[int, int]:
    first, second = _split(text)
    if not (first.isdecimal() and second.isdecimal()):
        raise click.UsageError(f"{text!r} does not name two line numbers.")
    return int(first), int(second)


def _seconds(text: str) -> float:
    try:
        return float(text)
    except ValueError as error:
        raise click.UsageError(f"{text!r} is not a number of seconds.") from error
