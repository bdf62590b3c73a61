"""`carrybook preview`: what an import of a file would keep, and why not the rest."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from api.reading_options import options_from, reading_options
from api.verb_options import json_option, print_json

if TYPE_CHECKING:
    from ingest.reading import Reading

NOTHING_DONE, SOME_OPEN = 2, 1


@click.command()
@click.argument("file", type=click.Path(path_type=Path, allow_dash=True))
@reading_options
@json_option
def command(file: Path, as_json: bool, **given: object) -> int:
    """Show what FILE holds: columns, units, rows, rows set aside, questions. Writes nothing.

    FILE may be - for text on standard input.

    \b
    Example:
      carrybook preview range.csv
      carrybook preview range.csv --zone Europe/Madrid --unit carry_m=yd --json
    """
    from ingest.errors import IngestError
    from ingest.preview_json import as_preview, rejected_preview
    from ingest.read_export import read_export

    piped = str(file) == "-"
    source = sys.stdin.buffer.read() if piped else file
    try:
        reading = read_export(
            source, name="pasted" if piped else file.name, options=options_from(given)
        )
    except IngestError as error:
        if not as_json:
            raise
        print_json(rejected_preview(error))
        return NOTHING_DONE
    if as_json:
        print_json(as_preview(reading))
    else:
        _print(reading)
    if reading.outcome == "rejected":
        return NOTHING_DONE
    return SOME_OPEN if reading.set_aside or reading.questions else 0


def _print_other_sheets(reading: "Reading") -> None:
    if reading.other_sheets:
        names = ", ".join(name.partition("#")[2] for name in reading.other_sheets)
        kinds = " or ".join(f"--kind {kind}" for kind in reading.other_kinds)
        click.echo(f"Other sheets: {names}" + (f"; look with {kinds}" if kinds else ""))


def _print(reading: "Reading") -> None:
    """The preview in plain words."""
    _print_other_sheets(reading)
    from ingest.units import unit_word

    if reading.outcome == "rejected":
        click.echo(f"{reading.name}: {reading.reason} Nothing would be kept.")
        click.echo(f"Mend: {reading.mend}")
        return
    click.echo(f"{reading.name}: a {reading.kind} export, {reading.table.height} rows to keep")
    for mapped in reading.mapped:
        unit = f" in {unit_word(mapped.unit)} ({mapped.unit_from})" if mapped.unit else ""
        click.echo(f"  {mapped.header!r:<28} {mapped.column}{unit}")
    for header in reading.unknown_columns:
        click.echo(f"  {header!r:<28} kept as it is")
    for row in reading.set_aside:
        place = f", {row.column}: {row.value!r}" if row.column else ""
        click.echo(f"Set aside: line {row.line}{place}: {row.reason}. {row.mend}")
    for repeat in reading.repeats:
        click.echo(f"Repeat: line {repeat.line} is line {repeat.of_line} again")
    for question in reading.questions:
        click.echo(f"Question {question.id} ({len(question.lines)} rows): {question.why}")
        if question.candidates:
            click.echo(f"  one of: {', '.join(map(unit_word, question.candidates))}")
    click.echo(_next_step(reading))


def _next_step(reading: "Reading") -> str:
    """How to go on: answer while importing, or import as it is."""
    answers = "".join(f" --answer {question.id}=…" for question in reading.questions)
    return f"Next: carrybook import FILE --player NAME{answers}"
