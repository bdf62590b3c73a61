"""Tells webhooks of changes: queues what is new, sends what is due, a few at a time."""

import asyncio
import json

from api.access import OWNER, Caller
from api.changes import ChangeFeed
from api.keys import Callers
from api.service_state import Row, ServiceState
from api.webhook_send import Message, NotSendable, send
from api.webhooks import due, list_webhooks, note_answer, queue_changes

AT_ONCE = 4


class Teller:
    """The sender of one service."""

    def __init__(
        self, state: ServiceState, feed: ChangeFeed, callers: Callers, *, private_hosts: bool
    ) -> None:
        self._state = state
        self._feed = feed
        self._callers = callers
        self._private_hosts = private_hosts

    async def tell(self) -> int:
        """Queue and send what there is; returns how many messages were sent."""
        for webhook in list_webhooks(self._state):
            caller = self._caller(webhook.key_id)
            if caller is not None and webhook.disabled_at is None:
                queue_changes(self._state, self._feed, webhook, caller)
        rows = [row for row in due(self._state, AT_ONCE) if self._stands(row)]
        await asyncio.gather(*(asyncio.to_thread(self._send, row) for row in rows))
        return len(rows)

    def _caller(self, key_id: str) -> Caller | None:
        return OWNER if key_id == OWNER.key_id else self._callers.by_id(key_id)

    def _stands(self, row: Row) -> bool:
        """Whether there is still something to tell: a change about an erased player is gone."""
        if row["seq"] is not None:
            return True
        note_answer(self._state, row, 200, "nothing left to tell")
        return False

    def _send(self, row: Row) -> None:
        body = {
            "type": row["type"],
            "timestamp": row["at"],
            "data": {
                "seq": row["seq"],
                "player_id": row["player_id"],
                "import_id": row["import_id"],
            },
        }
        message = Message(row["message_id"], json.dumps(body).encode())
        try:
            status = send(row["url"], row["secret"], message, private_hosts=self._private_hosts)
        except NotSendable as error:
            note_answer(self._state, row, None, str(error))
        else:
            note_answer(self._state, row, status, str(status))
