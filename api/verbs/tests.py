"""`carrybook tests`: the scored tests there are, and a coach's own."""

from pathlib import Path

import click

from api.verb_options import json_option, print_json, store_option


@click.group(invoke_without_command=True)
@store_option
@json_option
@click.pass_context
def command(ctx: click.Context, store: Path, as_json: bool) -> None:
    """List the scored tests in their newest version, or add one of your own.

    \b
    Example:
      carrybook tests
      carrybook tests add ladder.toml
    """
    from analytics.scored_rules import document_of
    from api.own_tests import every_version, is_own, newest_versions

    ctx.obj = store
    if ctx.invoked_subcommand:
        return
    found = newest_versions(every_version(store, None))
    if as_json:
        print_json(
            [
                document_of(one.rules) | {"own": is_own(one.rules), "coach": one.coach}
                for one in found
            ]
        )
        return
    for listed in found:
        one, whose = listed.rules, f" of {listed.coach}" if listed.coach else ""
        own = f"own{whose}" if is_own(one) else "comes along"
        click.echo(f"{one.key:<28} {one.title}: {one.measure}, target {one.target:g} ({own})")
    click.echo("Next: carrybook score --player NAME TEST --sheet")


@command.command()
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--new-version", is_flag=True, help="The next version of a test that is there.")
@json_option
@click.pass_obj
def add(store: Path, file: Path, new_version: bool, as_json: bool) -> None:
    """Keep the rules of a TOML file as a test of your own; its version is counted by the book.

    \b
    Example:
      carrybook tests add ladder.toml
      carrybook tests add ladder.toml --new-version
    """
    from analytics.scored_rules import document_of, parse_rules
    from api.own_tests import make_test, make_version

    wanted = parse_rules(file.read_text("utf-8"))
    kept = (make_version if new_version else make_test)(store, "", wanted)
    if as_json:
        print_json(document_of(kept) | {"test": kept.key})
        return
    click.echo(f"{kept.title} is {kept.key}: {kept.draw} stations, target {kept.target:g}.")
    click.echo(f"Next: carrybook score --player NAME {kept.name} --sheet")
