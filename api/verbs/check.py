"""`carrybook check`: questions that imports left open, and answering them."""

from pathlib import Path

import click

from api.reading_options import answer_pairs, column_answers
from api.verb_options import json_option, print_json, store_option

SOME_OPEN = 1


@click.command()
@store_option
@click.option("--player", help="Only this player's imports: id or display name.")
@click.option("--import", "import_id", help="Only this import: its id or first letters.")
@click.option("--answer", "answers", multiple=True, metavar="QUESTION=ANSWER")
@click.option(
    "--column", "columns", multiple=True, metavar="HEADER=COLUMN", help="What a header means."
)
@json_option
def command(
    *,
    store: Path,
    player: str | None,
    import_id: str | None,
    answers: tuple[str, ...],
    columns: tuple[str, ...],
    as_json: bool,
) -> int:
    """List the open questions of the imports, or answer those of one import.

    An answer completes the rows and can be taken back with `carrybook undo`.

    \b
    Example:
      carrybook check
      carrybook check --import 3f9a1c --answer unit:carry_m=yd --answer zone:struck_at_utc=UTC
      carrybook check --import 3f9a1c --column "Pace=club_speed_mps"
    """
    from api.import_work import answer_questions
    from api.open_questions import open_questions
    from ingest.errors import BadOption
    from ingest.units import unit_word

    said = answer_pairs(answers) | column_answers(columns)
    if said:
        if import_id is None:
            raise BadOption("an answer needs its import.", "Add --import ID.", column="--import")
        outcome = answer_questions(store, import_id, said)
        if "problem" in outcome:
            problem = dict(outcome["problem"])
            problem.pop("code")
            raise BadOption(**problem)
        import_id = outcome["import_id"]
    found = open_questions(store, player, import_id)
    if as_json:
        print_json(found)
        return SOME_OPEN if found else 0
    for entry in found:
        click.echo(f"{entry['import_id'][:20]}  {entry['source_name']}")
        click.echo(f"  {entry['id']}  ({len(entry['lines'])} rows, column {entry['header']!r})")
        click.echo(f"  why: {entry['why']}")
        if entry["candidates"]:
            click.echo(f"  one of: {', '.join(map(unit_word, entry['candidates']))}")
    if not found:
        click.echo("No open questions.")
        return 0
    first = found[0]
    click.echo(f"Next: carrybook check --import {first['import_id'][:20]} --answer {first['id']}=…")
    return SOME_OPEN
