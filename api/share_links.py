"""Links that show one report of one player to whoever holds them, until they end.

A link is a token of 256 random bits, kept as a SHA-256. It stands as long as it has not expired,
nobody deleted it and the key that made it stands.
"""

import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal, get_args

from api.access import Caller
from api.errors import not_found
from api.keys import Callers, as_text, digest
from api.service_state import Row, ServiceState, now

Report = Literal["profile", "carry-curves", "brackets", "tempo", "landing", "leaves", "scores"]
REPORTS: tuple[Report, ...] = get_args(Report)
RESOURCES = {"scores": "test-scores"}
"""Reports whose resource goes by another name."""


@dataclass(frozen=True)
class ShareLink:
    """What is known of one link; never its token."""

    link_id: str
    player_id: str
    report: str
    made_by: str
    created_at: str
    expires_at: str

    @classmethod
    def of(cls, row: Row) -> "ShareLink":
        """The link of one row."""
        return cls(**{name: row[name] for name in cls.__dataclass_fields__})

    @property
    def path(self) -> str:
        """Where the report itself stands."""
        return f"/v1/players/{self.player_id}/{RESOURCES.get(self.report, self.report)}"

    def caller(self) -> Caller:
        """Whoever holds the link."""
        only = frozenset({self.player_id})
        return Caller(self.link_id, "", frozenset({"read:profiles"}), only)


def create_link(
    state: ServiceState, caller: Caller, player_id: str, report: Report, days: int
) -> tuple[ShareLink, str]:
    """Make a link that ends after `days`; returns it and its token, which is shown this once."""
    token = secrets.token_urlsafe(32)
    link_id = "s" + secrets.token_hex(6)
    state.run(
        "INSERT INTO share_links VALUES (:id, :hash, :player, :report, :by, :at, :ends)",
        id=link_id,
        hash=digest(token),
        player=player_id,
        report=report,
        by=caller.key_id,
        at=now(),
        ends=as_text(datetime.now(UTC) + timedelta(days=days)),
    )
    return get_link(state, link_id), token


def get_link(state: ServiceState, link_id: str) -> ShareLink:
    """One link by its public id. Raises Problem 404."""
    row = state.row("SELECT * FROM share_links WHERE link_id = :id", id=link_id)
    if row is None:
        raise not_found("such share link", "List them: GET /v1/share-links.")
    return ShareLink.of(row)


def list_links(state: ServiceState) -> list[ShareLink]:
    """Every link, oldest first, the ended ones too."""
    return [ShareLink.of(row) for row in state.rows("SELECT * FROM share_links ORDER BY link_id")]


def delete_link(state: ServiceState, link_id: str) -> None:
    """End a link now."""
    state.run("DELETE FROM share_links WHERE link_id = :id", id=link_id)


def link_of(state: ServiceState, callers: Callers, token: str) -> ShareLink | None:
    """The standing link of a token; None for one that is unknown or has ended."""
    row = state.row("SELECT * FROM share_links WHERE hash = :hash", hash=digest(token))
    if row is None or row["expires_at"] <= now():
        return None
    made_by_owner = row["made_by"] == "owner"
    if not made_by_owner and callers.by_id(row["made_by"]) is None:
        return None
    return ShareLink.of(row)
