"""Who wrote an entry, and when."""

from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version


def utc_now() -> datetime:
    """The present moment in UTC."""
    return datetime.now(UTC)


def carrybook_version() -> str:
    """Version of this program, for provenance."""
    try:
        return version("carrybook")
    except PackageNotFoundError:
        return "source tree"
