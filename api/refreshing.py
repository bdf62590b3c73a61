"""Brings the answers somebody reads up to date when a player's data changed, before the next read.

An answer is recomputed by asking the routes for it as the owner would; the routes keep it. What
nobody asked for lately is left to its next reader.
"""

import asyncio
import logging
from collections.abc import Callable

from starlette.types import ASGIApp, Message, Scope

from api.access import OWNER, Caller
from api.cache import Cache
from api.player_cards import SETTLE_NS, PlayerCards

logger = logging.getLogger(__name__)

AT_MOST = 32


class Refresher:
    """Recomputes kept answers through the application behind the gate."""

    def __init__(self, cache: Cache, players: PlayerCards) -> None:
        self._cache = cache
        self._players = players
        self.app: ASGIApp | None = None
        self.inner: ASGIApp | None = None
        self.also: list[Callable[[str], None]] = []
        """Who else wants to know that a player's data changed."""

    async def refresh(self, player_id: str) -> None:
        """Recompute the player's answers that are out of date, most recently read first."""
        for tell in self.also:
            tell(player_id)
        await self._refresh(player_id)

    async def _refresh(self, player_id: str) -> None:
        stamp = self._players.stamp(player_id)
        if stamp is None:
            self._cache.forget_player(player_id)
            return
        stale = [
            key
            for key in self._cache.keys_of(player_id)[:AT_MOST]
            if (entry := self._cache.get(key)) is not None and entry.stamp != stamp
        ]
        if not stale:
            return
        await asyncio.sleep(0 if stamp.settled else SETTLE_NS / 1e9)
        for key in stale:
            path, _, query = key.partition("?")
            await self.ask(path, query)

    async def refresh_changed(self) -> None:
        """Recompute what other processes made out of date."""
        for player_id in self._cache.players():
            await self._refresh(player_id)

    async def ask(self, path: str, query: str, caller: Caller = OWNER, cookie: str = "") -> None:
        """Ask the application for something as this caller would, so that it keeps the answer."""
        if self.inner is None:
            return
        scope: Scope = {
            "type": "http",
            "http_version": "1.1",
            "method": "GET",
            "path": path,
            "raw_path": path.encode(),
            "root_path": "",
            "query_string": query.encode("latin-1"),
            "headers": [(b"cookie", cookie.encode("latin-1"))] if cookie else [],
            "scheme": "http",
            "server": None,
            "client": None,
            "app": self.app,
            "state": {"caller": caller, "refreshing": True},
        }
        asked = asyncio.ensure_future(self.inner(scope, _no_body, _nowhere))
        await asyncio.wait({asked})
        if (error := asked.exception()) is not None:  # the next reader will meet it again
            logger.error("an answer could not be brought up to date", exc_info=error)


async def _no_body() -> Message:
    return {"type": "http.request", "body": b"", "more_body": False}


async def _nowhere(message: Message) -> None:
    """Whoever asks here wants the answer kept, not sent."""
