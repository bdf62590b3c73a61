"""`carrybook doctor`: is this machine and this store in order?"""

from dataclasses import asdict
from pathlib import Path

import click

from api.verb_options import json_option, print_json, store_option


@click.command()
@store_option
@json_option
def command(store: Path, as_json: bool) -> int:
    """Check the installation and every import of the store; changes nothing.

    \b
    Example:
      carrybook doctor
    """
    from api.health_check import examine

    findings = examine(store)
    if as_json:
        print_json([asdict(finding) for finding in findings])
    else:
        for finding in findings:
            mark = "ok  " if finding.sound else "BAD "
            click.echo(f"{mark} {finding.what}: {finding.said}")
            if finding.mend:
                click.echo(f"     mend: {finding.mend}")
    return 0 if all(finding.sound for finding in findings) else 1
