"""`carrybook keys`: keys for other apps, made, listed, revoked."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import click

from api.access import SCOPES
from api.verb_options import json_option, print_json, store_option


@click.group()
def command() -> None:
    """Keys for other apps: each with scopes, optionally only for named players, for a time.

    \b
    Example:
      carrybook keys create "Practice diary" --scope read:profiles --player q3fk82 --days 365
    """


@command.command("create")
@store_option
@click.argument("name")
@click.option("--scope", "scopes", multiple=True, required=True, type=click.Choice(SCOPES))
@click.option("--player", "players", multiple=True, help="Only this player; may be repeated.")
@click.option("--coach", default="", help="Only this coach's players; left out: everybody's.")
@click.option("--days", type=click.IntRange(1, 3650), help="Ends after so many days.")
@json_option
def create(
    *,
    store: Path,
    name: str,
    scopes: tuple[str, ...],
    players: tuple[str, ...],
    coach: str,
    days: int | None,
    as_json: bool,
) -> None:
    """Make a key; it is shown this once and kept as a hash only."""
    from api.keys import create_key
    from api.service_state import ServiceState
    from ingest.players import find_player

    state = ServiceState(store)
    try:
        named = [find_player(store, text).player_id for text in players] or None
        ends = None if days is None else datetime.now(UTC) + timedelta(days=days)
        record, key = create_key(state, name, scopes, coach=coach, players=named, expires_at=ends)
    finally:
        state.close()
    if as_json:
        print_json({"key_id": record.key_id, "key": key, "scopes": record.scopes})
    else:
        click.echo(f"{key}\n\nKept as a hash only: copy it now. Its id is {record.key_id}.")


@command.command("list")
@store_option
@json_option
def list_(store: Path, as_json: bool) -> None:
    """Every key: what it may do, for whom, until when."""
    from dataclasses import asdict

    from api.keys import list_keys
    from api.service_state import ServiceState

    state = ServiceState(store)
    try:
        records = list_keys(state)
    finally:
        state.close()
    if as_json:
        print_json([asdict(record) for record in records])
        return
    for record in records:
        who = "all players" if record.players is None else ", ".join(record.players) or "nobody"
        stands = "revoked" if record.revoked_at else f"until {_minute(record.expires_at)}"
        click.echo(f"{record.key_id}  {record.name}  {' '.join(record.scopes)}  {who}  {stands}")
    if not records:
        click.echo("No keys. Make one: carrybook keys create NAME --scope read:profiles")


def _minute(instant: str | None) -> str:
    """`2026-05-01 09:30 UTC` of an instant kept in UTC, to the minute."""
    return "revoked" if instant is None else f"{instant[:16].replace('T', ' ')} UTC"


@command.command("revoke")
@store_option
@click.argument("key_id")
@json_option
def revoke(store: Path, key_id: str, as_json: bool) -> None:
    """End a key at once, in a running service too."""
    from api.keys import revoke_key
    from api.service_state import ServiceState

    state = ServiceState(store)
    try:
        record = revoke_key(state, key_id)
    finally:
        state.close()
    if as_json:
        print_json({"key_id": record.key_id, "revoked_at": record.revoked_at})
    else:
        click.echo(f"{record.key_id} ({record.name}) is revoked.")
