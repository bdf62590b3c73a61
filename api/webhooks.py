"""Addresses that want to be told of changes, and what is still to be told to each.

Every change an address may know of becomes one delivery; it is retried with growing pauses until
the address takes it (any 2xx) or the last retry failed. 410 ends the webhook. A replay tells
everything after a cursor once more, under the same message ids, so that a repeat can be known.
"""

import base64
import json
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from api.access import Caller
from api.changes import ChangeFeed
from api.errors import not_found
from api.keys import as_text
from api.service_state import Row, ServiceState, now

PAUSES_S = (5, 60, 300, 1800, 7200, 18_000, 36_000, 36_000)
"""Pauses before each retry, after the schedule the Standard Webhooks specification recommends."""


@dataclass(frozen=True)
class WebhookRecord:
    """One address; the secret is shown once, when it is registered."""

    webhook_id: str
    key_id: str
    url: str
    events: tuple[str, ...]
    created_at: str
    told_until: int
    disabled_at: str | None

    @classmethod
    def of(cls, row: Row) -> "WebhookRecord":
        """The record of one row."""
        given = {name: row[name] for name in cls.__dataclass_fields__ if name != "events"}
        return cls(**given, events=tuple(json.loads(row["events"])))


@dataclass(frozen=True)
class Delivery:
    """One message to one address."""

    delivery_id: int
    webhook_id: str
    seq: int
    message_id: str
    attempts: int
    next_at: str | None
    status: str
    last_answer: str | None

    @classmethod
    def of(cls, row: Row) -> "Delivery":
        """The delivery of one row."""
        return cls(**{name: row[name] for name in cls.__dataclass_fields__})


def new_secret() -> str:
    """A signing secret in the form the Standard Webhooks specification names."""
    return "whsec_" + base64.b64encode(secrets.token_bytes(32)).decode()


def create_webhook(
    state: ServiceState, caller: Caller, url: str, events: list[str], told_until: int
) -> tuple[WebhookRecord, str]:
    """Register an address; returns it and its secret, which is shown this once."""
    webhook_id, secret = "w" + secrets.token_hex(6), new_secret()
    state.run(
        "INSERT INTO webhooks VALUES (:id, :key, :url, :secret, :events, :at, :until, NULL)",
        id=webhook_id,
        key=caller.key_id,
        url=url,
        secret=secret,
        events=json.dumps(sorted(set(events))),
        at=now(),
        until=told_until,
    )
    return get_webhook(state, webhook_id), secret


def get_webhook(state: ServiceState, webhook_id: str) -> WebhookRecord:
    """One webhook by id. Raises Problem 404."""
    row = state.row("SELECT * FROM webhooks WHERE webhook_id = :id", id=webhook_id)
    if row is None:
        raise not_found("such webhook", "List them: GET /v1/webhooks.")
    return WebhookRecord.of(row)


def list_webhooks(state: ServiceState) -> list[WebhookRecord]:
    """Every webhook, oldest first."""
    rows = state.rows("SELECT * FROM webhooks ORDER BY created_at, webhook_id")
    return [WebhookRecord.of(row) for row in rows]


def delete_webhook(state: ServiceState, webhook_id: str) -> None:
    """Stop telling an address, and forget what was still to be told."""
    state.run("DELETE FROM webhooks WHERE webhook_id = :id", id=webhook_id)


def replay(state: ServiceState, webhook_id: str, since: int) -> None:
    """Tell everything after `since` once more."""
    with state.together():
        state.run(
            "DELETE FROM deliveries WHERE webhook_id = :id AND seq > :seq",
            id=webhook_id,
            seq=since,
        )
        state.run(
            "UPDATE webhooks SET told_until = min(told_until, :seq), disabled_at = NULL"
            " WHERE webhook_id = :id",
            id=webhook_id,
            seq=since,
        )


def deliveries_of(state: ServiceState, webhook_id: str, after: int, limit: int) -> list[Delivery]:
    """The deliveries of a webhook after a number, oldest first."""
    rows = state.rows(
        "SELECT * FROM deliveries WHERE webhook_id = :id AND delivery_id > :after"
        " ORDER BY delivery_id LIMIT :n",
        id=webhook_id,
        after=after,
        n=limit,
    )
    return [Delivery.of(row) for row in rows]


def queue_changes(
    state: ServiceState, feed: ChangeFeed, webhook: WebhookRecord, caller: Caller
) -> int:
    """Make a delivery of every change the webhook has not been told of; returns how many."""
    rows = state.rows("SELECT * FROM changes WHERE seq > :s ORDER BY seq", s=webhook.told_until)
    told = [r for r in rows if r["type"] in webhook.events and feed.tells(caller, r)]
    if not rows:
        return 0
    with state.together():
        for row in told:
            state.run(
                "INSERT INTO deliveries(webhook_id, seq, message_id, next_at)"
                " VALUES (:id, :seq, :message, :at)",
                id=webhook.webhook_id,
                seq=row["seq"],
                message=f"msg_{webhook.webhook_id}_{row['seq']}",
                at=now(),
            )
        state.run(
            "UPDATE webhooks SET told_until = :seq WHERE webhook_id = :id",
            seq=rows[-1]["seq"],
            id=webhook.webhook_id,
        )
    return len(told)


def due(state: ServiceState, limit: int) -> list[Row]:
    """The deliveries whose time has come, with the address, secret and change of each.

    Nothing is due to an address whose key was revoked or has ended.
    """
    return state.rows(
        "SELECT d.delivery_id, d.message_id, d.attempts, w.webhook_id, w.url, w.secret,"
        " c.seq, c.at, c.type, c.player_id, c.import_id"
        " FROM deliveries AS d JOIN webhooks AS w USING (webhook_id)"
        " LEFT JOIN changes AS c ON c.seq = d.seq"
        " WHERE d.status = 'waiting' AND d.next_at <= :now AND w.disabled_at IS NULL"
        " AND (w.key_id = 'owner' OR EXISTS (SELECT 1 FROM keys AS k WHERE k.key_id = w.key_id"
        " AND k.revoked_at IS NULL AND (k.expires_at IS NULL OR k.expires_at > :now)))"
        " ORDER BY d.delivery_id LIMIT :n",
        now=now(),
        n=limit,
    )


def note_answer(state: ServiceState, row: Row, status: int | None, said: str) -> None:
    """Write down what an attempt led to: taken, to be tried again, given up, or not wanted."""
    attempts = int(row["attempts"]) + 1
    taken = status is not None and 200 <= status < 300
    done = taken or attempts > len(PAUSES_S)
    pause = timedelta(seconds=0 if done else PAUSES_S[attempts - 1])
    state.run(
        "UPDATE deliveries SET attempts = :n, status = :status, next_at = :next,"
        " last_answer = :said"
        " WHERE delivery_id = :id",
        n=attempts,
        status="taken" if taken else "given_up" if done else "waiting",
        next=None if done else as_text(datetime.now(UTC) + pause),
        said=said,
        id=row["delivery_id"],
    )
    if status == 410:
        state.run(
            "UPDATE webhooks SET disabled_at = :at WHERE webhook_id = :id",
            at=now(),
            id=row["webhook_id"],
        )


def waiting(state: ServiceState) -> int:
    """How many messages are still to be delivered."""
    row = state.row("SELECT count(*) AS n FROM deliveries WHERE status = 'waiting'")
    return 0 if row is None else int(row["n"])
