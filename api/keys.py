"""Keys: 256 random bits each, shown once, kept as a SHA-256, revoked at once.

A key of that strength needs no slow hash: there is nothing to guess. Callers are held in memory by
hash and read anew when this process or another changed the state file.
"""

import hashlib
import json
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

from api.access import SCOPES, Caller
from api.errors import Problem, not_found
from api.service_state import Row, ServiceState, now

PREFIX = "cb_"


@dataclass(frozen=True)
class KeyRecord:
    """What is known of one key; never the key itself."""

    key_id: str
    name: str
    coach: str
    scopes: tuple[str, ...]
    players: tuple[str, ...] | None
    created_at: str
    expires_at: str | None
    revoked_at: str | None

    @classmethod
    def of(cls, row: Row) -> "KeyRecord":
        """The record of one row."""
        players = None if row["players"] is None else tuple(json.loads(row["players"]))
        return cls(
            row["key_id"],
            row["name"],
            row["coach"],
            tuple(json.loads(row["scopes"])),
            players,
            row["created_at"],
            row["expires_at"],
            row["revoked_at"],
        )

    def caller(self) -> Caller:
        """Whoever shows this key."""
        players = None if self.players is None else frozenset(self.players)
        return Caller(self.key_id, self.coach, frozenset(self.scopes), players)


def digest(secret: str) -> bytes:
    """What is kept of a key or of a link's token."""
    return hashlib.sha256(secret.encode()).digest()


def create_key(
    state: ServiceState,
    name: str,
    scopes: Iterable[str],
    *,
    coach: str = "",
    players: Iterable[str] | None = None,
    expires_at: datetime | None = None,
) -> tuple[KeyRecord, str]:
    """Make a key; returns its record and the key, which is shown this once.

    Raises:
        Problem: a scope does not exist, or there is none.
    """
    chosen = sorted(set(scopes))
    if not chosen or not set(chosen) <= set(SCOPES):
        mend = f"Choose from: {', '.join(SCOPES)}."
        raise Problem(422, "unknown_scope", f"No such scope: {', '.join(chosen) or 'none'}.", mend)
    secret = PREFIX + secrets.token_urlsafe(32)
    key_id = "k" + secrets.token_hex(6)
    state.run(
        "INSERT INTO keys VALUES (:id, :hash, :name, :coach, :scopes, :players, :at, :ends, NULL)",
        id=key_id,
        hash=digest(secret),
        name=name,
        coach=coach,
        scopes=json.dumps(chosen),
        players=None if players is None else json.dumps(sorted(set(players))),
        at=now(),
        ends=None if expires_at is None else as_text(expires_at),
    )
    return get_key(state, key_id), secret


def as_text(instant: datetime) -> str:
    """An instant as the state file writes it."""
    return instant.astimezone(UTC).isoformat(timespec="microseconds")


def get_key(state: ServiceState, key_id: str) -> KeyRecord:
    """One key by its public id. Raises Problem 404."""
    row = state.row("SELECT * FROM keys WHERE key_id = :id", id=key_id)
    if row is None:
        raise not_found("such key", "List the keys: GET /v1/keys.")
    return KeyRecord.of(row)


def list_keys(state: ServiceState) -> list[KeyRecord]:
    """Every key, oldest first, the revoked ones too."""
    return [KeyRecord.of(row) for row in state.rows("SELECT * FROM keys ORDER BY created_at")]


def revoke_key(state: ServiceState, key_id: str) -> KeyRecord:
    """End a key now; a second time changes nothing. Raises Problem 404."""
    get_key(state, key_id)
    statement = "UPDATE keys SET revoked_at = :at WHERE key_id = :id AND revoked_at IS NULL"
    state.run(statement, at=now(), id=key_id)
    return get_key(state, key_id)


class Callers:
    """Who shows which key, held in memory for as long as the state file says the same."""

    def __init__(self, state: ServiceState) -> None:
        self._state = state
        self._seen = -1
        self._by_hash: dict[bytes, KeyRecord] = {}
        self._by_id: dict[str, KeyRecord] = {}
        self._callers: dict[str, Caller] = {}
        self.any_key = False

    def refresh(self) -> None:
        """Read the keys anew when another process changed the file."""
        seen = self._state.outside_changes()
        if seen != self._seen:
            self.reload()
            self._seen = seen

    def reload(self) -> None:
        """Read the keys anew: after this process changed one."""
        rows = self._state.rows("SELECT * FROM keys WHERE revoked_at IS NULL")
        self._by_hash = {row["hash"]: KeyRecord.of(row) for row in rows}
        self._by_id = {record.key_id: record for record in self._by_hash.values()}
        self._callers = {r.key_id: r.caller() for r in self._by_hash.values()}
        self.any_key = self._state.row("SELECT 1 FROM keys") is not None

    def of(self, secret: str) -> Caller | None:
        """The caller of a key; None for one that is unknown, revoked or expired."""
        return self._standing(self._by_hash.get(digest(secret)))

    def by_id(self, key_id: str) -> Caller | None:
        """The caller of a standing key by its public id."""
        return self._standing(self._by_id.get(key_id))

    def _standing(self, record: KeyRecord | None) -> Caller | None:
        if record is None or (record.expires_at is not None and record.expires_at <= now()):
            return None
        return self._callers[record.key_id]

    def close(self) -> None:
        """Let go of the file."""
        self._state.close()
