"""When an entry was made: by the phone that made it, never later than now."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

EARLIEST = timedelta(days=400)


def entered_at(fields: Mapping[str, str]) -> datetime:
    """The entry's own instant, UTC; now when it has none, or one that cannot be."""
    now = datetime.now(UTC)
    try:
        said = datetime.fromisoformat(fields.get("entered_at", ""))
    except ValueError:
        return now
    moment = said.astimezone(UTC) if said.tzinfo else now
    return moment if now - EARLIEST <= moment <= now + timedelta(minutes=5) else now
