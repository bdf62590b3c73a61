"""`carrybook homework`: what to practise until next time, and what came of it."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from analytics.cautions import ADULT_BALLS, JUNIOR_BALLS
from api.verb_options import json_option, player_option, print_json, store_option

if TYPE_CHECKING:
    from api.homework_entry import Outcome
    from ingest.players import Player


@click.group(invoke_without_command=True)
@player_option
@store_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, player: str, store: Path, as_json: bool) -> None:
    """List the homework of a player, propose and give some, or say what came of it.

    \b
    Example:
      carrybook homework --player Robin
      carrybook homework --player Robin propose
      carrybook homework --player Robin give --due 2026-05-11
      carrybook homework --player Robin report 4f1c done --balls 27
    """
    from dataclasses import asdict

    from analytics.db import open_store
    from api.homework_entry import given_homework, given_lines
    from ingest.players import find_player

    who = find_player(store, player)
    ctx.obj = (store, who)
    if ctx.invoked_subcommand:
        return
    connection = open_store(store, who.player_id)
    given = given_homework(connection, who.player_id)
    connection.close()
    if as_json:
        print_json([asdict(one) for one in given])
        return
    for line in given_lines(given):
        click.echo(line)
    if not given:
        click.echo("No homework yet. Propose some: carrybook homework --player NAME propose")


@command.command()
@click.option(
    "--cap",
    type=int,
    help=f"Most balls of one day; {ADULT_BALLS}, or {JUNIOR_BALLS} for a junior, by default.",
)
@json_option
@click.pass_obj
def propose(where: "tuple[Path, Player]", *, cap: int | None, as_json: bool) -> None:
    """Show homework made from what is open; nothing is written."""
    from api.homework_entry import plan_document, plan_lines, proposal

    store, who = where
    plan = proposal(store, who, cap)
    if as_json:
        print_json(plan_document(who.player_id, plan))
        return
    for line in plan_lines(plan):
        click.echo(line)
    click.echo(f"Next: carrybook homework --player {who.display_name} give --due DAY")


@command.command()
@click.option("--cap", type=int, help="Most balls of one day.")
@click.option("--due", type=click.DateTime(["%Y-%m-%d"]), help="Day by which to do it.")
@click.option("--title", help="A piece of your own instead of the proposal.")
@click.option("--task", default="", help="What to do, with --title.")
@click.option("--blocks", type=click.IntRange(1, 50), default=1, help="With --title.")
@click.option("--balls", type=click.IntRange(1, 200), default=10, help="Per block, with --title.")
@click.option("--by", help="Who gives it.")
@json_option
@click.pass_obj
def give(
    where: "tuple[Path, Player]",
    *,
    cap: int | None,
    due: datetime | None,
    title: str | None,
    task: str,
    blocks: int,
    balls: int,
    by: str | None,
    as_json: bool,
) -> None:
    """Give the proposal, or a piece of your own, to the player."""
    from analytics.practice_plan import own_piece
    from api.homework_entry import give as give_pieces
    from api.homework_entry import proposal

    store, who = where
    pieces = [own_piece(title, task, blocks, balls)] if title else proposal(store, who, cap).pieces
    entered = give_pieces(store, who, pieces, by=by, due=due.date() if due else None)
    if as_json:
        print_json(entered.document())
        return
    for line in entered.lines():
        click.echo(line)
    click.echo(f"Next: carrybook sheet --player {who.display_name}")


@command.command()
@click.argument("homework_id")
@click.argument("outcome", type=click.Choice(["done", "part", "not_done", "dropped"]))
@click.option("--balls", type=click.IntRange(0, 5000), help="Balls hit for it.")
@click.option("--note", help="Anything else.")
@click.option("--by", help="Who says it.")
@json_option
@click.pass_obj
def report(
    where: "tuple[Path, Player]",
    *,
    homework_id: str,
    outcome: "Outcome",
    balls: int | None,
    note: str | None,
    by: str | None,
    as_json: bool,
) -> None:
    """Say what came of a piece; HOMEWORK_ID may be shortened."""
    from api.homework_entry import Report
    from api.homework_entry import report as keep

    store, who = where
    entered = keep(store, who, Report(homework_id, outcome, balls, note), by=by)
    if as_json:
        print_json(entered.document())
        return
    for line in entered.lines():
        click.echo(line)
