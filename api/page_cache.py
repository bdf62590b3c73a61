"""Rendered pages of players, kept for as long as nothing they were made of has changed.

A page is served again only to a reader with the same rights and habits, for the same address, and
while the player's folder, the list of players and the calendar day are the same. The form token is
not part of it: its place is filled for each reader.
"""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime

from fastapi import Request

from api.access import Caller
from api.page_view import View
from api.player_cards import PlayerCards, Stamp

MOST_BYTES = 16 << 20
BOOK_PAGES = frozenset({"/doubts", "/imports", "/players", "/settings"})
"""Pages about the whole book; kept while no player's folder has changed."""
MOST_PLAYERS = 200
"""With more players than this, looking at every folder costs more than rendering the page."""


@dataclass(frozen=True)
class Kept:
    """A rendered page and the state it was rendered from."""

    body: str
    state: tuple[object, ...]


class PageCache:
    """The pages used last, up to `limit_bytes` of text."""

    def __init__(self, limit_bytes: int = MOST_BYTES) -> None:
        self._limit = limit_bytes
        self._size = 0
        self._pages: OrderedDict[tuple[object, ...], Kept] = OrderedDict()

    def get(self, key: tuple[object, ...], state: tuple[object, ...]) -> str | None:
        """The page of `key` if it was rendered from `state`."""
        kept = self._pages.get(key)
        if kept is None or kept.state != state:
            return None
        self._pages.move_to_end(key)
        return kept.body

    def put(self, key: tuple[object, ...], state: tuple[object, ...], body: str) -> None:
        """Keep a page; the least recently used go when there is no room."""
        old = self._pages.pop(key, None)
        self._size -= len(old.body) if old else 0
        self._pages[key] = Kept(body, state)
        self._size += len(body)
        while self._size > self._limit:
            _, gone = self._pages.popitem(last=False)
            self._size -= len(gone.body)


def page_cache(request: Request) -> PageCache:
    """The cache of this application."""
    state = request.app.state
    if not hasattr(state, "page_cache"):
        state.page_cache = PageCache()
    found: PageCache = state.page_cache
    return found


def key_of(request: Request, caller: Caller, view: View) -> tuple[object, ...]:
    """What tells two readers' pages of one address apart: their rights and habits."""
    rights = (caller.coach, caller.scopes, caller.players, caller.owner)
    return (request.url.path, request.url.query, view.key, rights)


def state_of(
    players: PlayerCards, player_id: str, today: Callable[[], datetime] = lambda: datetime.now(UTC)
) -> tuple[object, ...] | None:
    """What a page of this player is made of, or of all when the id is empty.

    None while it may still be changing, and for a book too large to look at every folder of.
    """
    ids = tuple(players.ids())
    wanted = (player_id,) if player_id else ids
    if len(wanted) > MOST_PLAYERS:
        return None
    stamps: list[Stamp] = []
    for name in wanted:
        stamp = players.stamp(name)
        if stamp is None or not stamp.settled:
            return None
        stamps.append(stamp)
    return (*stamps, ids, today().date())
