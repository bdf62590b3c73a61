"""Options that every verb shares, so that they read the same everywhere."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import click

Wrapped = TypeVar("Wrapped", bound=Callable[..., object])

DEFAULT_STORE = Path("carrybook-store")


def store_option(function: Wrapped) -> Wrapped:
    """`--store FOLDER`, or CARRYBOOK_STORE, or `carrybook-store` in the working folder."""
    return click.option(
        "--store",
        type=click.Path(path_type=Path, file_okay=False),
        default=DEFAULT_STORE,
        envvar="CARRYBOOK_STORE",
        show_default=True,
        help="Folder of the store; CARRYBOOK_STORE does the same.",
    )(function)


def own_store_option(function: Wrapped) -> Wrapped:
    """`--store FOLDER` after a subcommand, where most people type it; the group's holds else."""
    return click.option(
        "--store",
        "own_store",
        type=click.Path(path_type=Path, file_okay=False),
        help="Folder of the store, when not given before the subcommand.",
    )(function)


def json_option(function: Wrapped) -> Wrapped:
    """`--json`: print the answer as one JSON document instead of text."""
    return click.option("--json", "as_json", is_flag=True, help="Print JSON.")(function)


def player_option(function: Wrapped) -> Wrapped:
    """`--player ID`: the player meant; an id or an unmistakable display name."""
    return click.option("--player", required=True, help="Player's id or display name.")(function)


def print_json(document: object) -> None:
    """One JSON document on standard output; dates as ISO 8601."""
    click.echo(json.dumps(document, indent=2, ensure_ascii=False, default=str))
