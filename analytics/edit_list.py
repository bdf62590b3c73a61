"""The corrections of a player's record, oldest first."""

from dataclasses import dataclass
from datetime import datetime

from analytics.db import Connection, ask


@dataclass(frozen=True)
class Edit:
    """One correction: who, when (UTC), why, and what of which row."""

    edit_id: str
    edited_at_utc: datetime
    edited_by: str
    reason: str | None
    action: str
    target: str
    target_id: str
    value: str | None
    import_id: str


def edit_list(connection: Connection) -> list[Edit]:
    """The corrections of the player the connection was opened for."""
    return [Edit(**row) for row in ask(connection, "edit_list").to_pylist()]
