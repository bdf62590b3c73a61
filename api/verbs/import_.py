"""`carrybook import`: take exports in."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from api.reading_options import options_from, reading_options
from api.verb_options import json_option, player_option, print_json, store_option

if TYPE_CHECKING:
    from api.take_in import Taken

FINE, SOME_WAIT, NOTHING_DONE = 0, 1, 2


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@player_option
@store_option
@reading_options
@json_option
def command(
    files: tuple[Path, ...], *, player: str, store: Path, as_json: bool, **given: object
) -> int:
    """Take in exports for one player: files, folders, or - for standard input.

    Nothing is guessed: what stays open becomes a question (`carrybook check`), a bad row is set
    aside with its reason, and everything can be taken back (`carrybook undo`). The exit code is 1
    when rows were set aside or questions are open, 2 when nothing came in.

    \b
    Example:
      carrybook import monday.csv sensor.csv --player Robin
      carrybook import ~/exports --player Robin --zone Europe/Madrid --unit carry_m=yd
    """
    from api.learn_population import learn_when_due
    from api.progress import progress_bar
    from api.take_in import take_in
    from ingest.players import find_player

    who = find_player(store, player)
    with progress_bar("files") as progress:
        outcomes = take_in(store, files, who, options=options_from(given), progress=progress)
    if as_json:
        print_json([as_document(outcome) for outcome in outcomes])
    else:
        for outcome in outcomes:
            click.echo(as_line(outcome))
        click.echo(next_step(outcomes, who.player_id))
    learn_when_due(store)
    return exit_code(outcomes)


def next_step(outcomes: Sequence["Taken"], player_id: str) -> str:
    """What to do now: answer questions first, then mend rows, then read the curve."""
    from api.take_in import Refused

    if not outcomes:
        return "No export was found there. Mend: give a file, or a folder that holds exports."
    taken = [outcome.ledger for outcome in outcomes if not isinstance(outcome, Refused)]
    if not taken:
        return "Nothing was taken in. Next: carrybook preview FILE shows what a file holds."
    if n_open := sum(ledger.questions_open for ledger in taken):
        return (
            f"Open questions: {n_open}; what they are about stays empty until it is answered.\n"
            f"Next: carrybook check --player {player_id}"
        )
    lines = [
        f"Rows set aside: carrybook set-aside {ledger.import_id[:20]}"
        for ledger in taken
        if ledger.rows_set_aside
    ]
    return "\n".join([*lines, f"Next: carrybook curve --player {player_id}"])


def as_document(outcome: "Taken") -> dict[str, object]:
    """One file's outcome as JSON."""
    from api.take_in import Refused

    if isinstance(outcome, Refused):
        error = outcome.error
        return {
            "source_name": outcome.source_name,
            "outcome": "refused",
            "code": error.code,
            "file": error.file,
            "row": error.row,
            "column": error.column,
            "value": error.value,
            "reason": error.reason,
            "mend": error.mend,
        }
    ledger = outcome.ledger
    return {
        "source_name": outcome.source_name,
        "outcome": "taken" if outcome.new else "already_there",
        "import_id": ledger.import_id,
        "kind": ledger.kind,
        "rows_in": ledger.rows_in,
        "rows_kept": ledger.rows_kept,
        "rows_set_aside": ledger.rows_set_aside,
        "rows_repeated": ledger.rows_repeated,
        "rows_new": outcome.overlap.new,
        "rows_same": outcome.overlap.same,
        "rows_changed": outcome.overlap.changed,
        "questions_open": ledger.questions_open,
        "supersedes": ledger.supersedes,
    }


def as_line(outcome: "Taken") -> str:
    """One file's outcome in a sentence."""
    from api.take_in import Refused

    if isinstance(outcome, Refused):
        why = str(outcome.error).removeprefix(f"{outcome.source_name}: ")
        return f"{outcome.source_name}: refused. {why}"
    ledger = outcome.ledger
    if not outcome.new:
        return f"{outcome.source_name}: already in the book ({ledger.import_id[:20]})."
    parts = [
        f"{outcome.source_name}: {ledger.kind}, {ledger.rows_in} rows in = {ledger.rows_kept} kept"
        f" + {ledger.rows_set_aside} set aside + {ledger.rows_repeated} repeats"
    ]
    if outcome.overlap.same or outcome.overlap.changed:
        parts.append(
            f"; {outcome.overlap.new} new, {outcome.overlap.same} known, "
            f"{outcome.overlap.changed} changed"
        )
    if ledger.questions_open:
        parts.append(f"; {ledger.questions_open} questions open: carrybook check")
    if ledger.supersedes:
        parts.append(f"; replaces {ledger.supersedes[:20]}")
    return "".join(parts)


def exit_code(outcomes: Sequence["Taken"]) -> int:
    """0: all landed; 1: rows were set aside or questions are open; 2: nothing landed."""
    from api.take_in import Refused

    refused = sum(isinstance(outcome, Refused) for outcome in outcomes)
    if refused == len(outcomes):
        return NOTHING_DONE
    ledgers = [outcome.ledger for outcome in outcomes if not isinstance(outcome, Refused)]
    waiting = any(ledger.rows_set_aside or ledger.questions_open for ledger in ledgers)
    return SOME_WAIT if refused or waiting else FINE
