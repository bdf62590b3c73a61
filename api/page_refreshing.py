"""Renders pages again in the background once a player's data changed, before the next reader asks.

Rules
-----
1. Only pages somebody opened lately are rendered again, the ones used last first, for the same
   rights and habits.
2. A player whose data just changed gets the pages looked at after a session (`FIRST_LOOKS`) ready
   for whoever read a page last, if that reader may see the player.
   Nothing is rendered for a key that was revoked or has ended.
3. Pages of a player who was erased are forgotten, by whichever process it was done.
4. Changes that follow each other closely are answered once, after the last of them.
"""

import asyncio
import time
from collections.abc import Iterable
from contextlib import suppress

from api.access import Caller
from api.page_cache import Asked, PageCache, State, state_of
from api.player_cards import SETTLE_NS
from api.refreshing import Refresher
from api.service import Service

QUIET_S = 0.15
LATELY_S = 900.0
AT_MOST = 16
FIRST_LOOKS = ("/today", "", "/card")


class PageRefresher:
    """Keeps a service's kept pages up to date; `run` goes on beside requests."""

    def __init__(self, service: Service, cache: PageCache) -> None:
        self._service = service
        self._players = service.players
        self._refresher: Refresher = service.refresher
        self._every_s = service.settings.watch_s
        self._cache = cache
        self._changed: set[str] = set()
        self._wake = asyncio.Event()

    def nudge(self, player_id: str) -> None:
        """Say that a player's data changed."""
        self._changed.add(player_id)
        self._wake.set()

    async def run(self) -> None:
        """Look for pages out of date: at once after a change here, else now and then."""
        while True:
            with suppress(TimeoutError):  # not `wait_for`: on 3.11 it may lose a cancellation
                async with asyncio.timeout(self._every_s):
                    await self._wake.wait()
            self._wake.clear()
            await asyncio.sleep(QUIET_S)
            await self.render_stale()

    async def render_stale(self) -> None:
        """Render what is out of date; what cannot be rendered any more is forgotten.

        What to render next is looked up after each page: books change meanwhile, and readers move.
        """
        self._forget_erased()
        changed, self._changed = self._changed, set()
        tried: set[object] = set()
        while len(tried) < AT_MOST:
            if self._wake.is_set():
                self._changed |= changed
                return  # another change: begin anew with what stands then
            stale = [*self._stale(), *self._first_looks(changed)]
            states = [(asked.key, state_of(self._players, asked.player_id)) for asked in stale]
            fresh = [n for n, state in enumerate(states) if state not in tried]
            if not fresh:
                return
            tried.add(states[fresh[0]])
            await self._render(stale[fresh[0]])

    async def _render(self, asked: Asked) -> None:
        """Render a page; twice when the first time computed something that the book now keeps."""
        for _ in range(2 if self._stands(asked.caller) else 0):
            await self._refresher.ask(asked.path, asked.query, asked.caller, asked.cookie)
            await asyncio.sleep(SETTLE_NS / 1e9)
            state = state_of(self._players, asked.player_id)
            if state is None or self._cache.holds(asked.key, state):
                return
        self._cache.drop(asked.key)

    def _forget_erased(self) -> None:
        """Drop the pages of players who are gone, and those of the book that may name them."""
        kept = [asked for asked, _ in self._cache.used_since(0)]
        named = {asked.player_id for asked in kept if asked.player_id}
        gone = {name for name in named if self._players.stamp(name) is None}
        for asked in kept:
            if asked.player_id in gone or (gone and not asked.player_id):
                self._cache.drop(asked.key)

    def _stands(self, caller: Caller) -> bool:
        """Whether the reader's key is still good; a page is made for nobody else."""
        self._service.callers.refresh()
        return caller.owner or self._service.callers.by_id(caller.key_id) is not None

    def _stale(self) -> list[Asked]:
        states: dict[str, State | None] = {}
        found = []
        for asked, state in self._cache.used_since(time.monotonic() - LATELY_S):
            if asked.player_id not in states:
                states[asked.player_id] = state_of(self._players, asked.player_id)
            now = states[asked.player_id]
            if now is not None and now != state:
                found.append(asked)
        return found

    def _first_looks(self, changed: Iterable[str]) -> list[Asked]:
        last = self._cache.last
        found = []
        for player_id in changed if last is not None else ():
            card = self._players.get(player_id)
            state = state_of(self._players, player_id)
            if last is None or card is None or state is None or not last.caller.sees(card):
                continue
            paths = (f"/players/{player_id}{tab}" for tab in FIRST_LOOKS)
            asked = (last.at(path, player_id) for path in paths)
            found += [one for one in asked if not self._cache.holds(one.key, state)]
        return found
