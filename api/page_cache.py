"""Rendered pages of players, kept for as long as nothing they were made of has changed.

A page is served again only to a reader with the same rights and habits, for the same address, and
while the player's folder, the list of players and the calendar day are the same. The form token is
not part of it: its place is filled for each reader.
"""

import time
from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime

from fastapi import Request

from api.access import Caller
from api.page_view import COOKIE, View
from api.player_cards import PlayerCards, Stamp

State = tuple[object, ...]
"""What a page was made of: the stamps of its players, who there is, and the day."""
MOVED: State = ()
"""State of a page whose book changed while it was rendered: never served, but rendered again."""
Key = tuple[object, ...]
MOST_BYTES = 16 << 20
BOOK_PAGES = frozenset({"/doubts", "/imports", "/players", "/settings", "/tests"})
"""Pages about the whole book; kept while no player's folder has changed."""
TEST_PAGES = "/tests/"
"""Pages about a scored test begin so; its folder is part of every player's stamp."""
MOST_PLAYERS = 200
"""With more players than this, looking at every folder costs more than rendering the page."""


@dataclass(frozen=True)
class Asked:
    """Which page was asked for, by whom, reading how; enough to render it again."""

    path: str
    query: str
    player_id: str
    caller: Caller
    view: View

    @property
    def key(self) -> Key:
        """What tells two readers' pages of one address apart: their rights and habits."""
        who = self.caller
        return (
            self.path,
            self.query,
            self.view.key,
            (who.coach, who.scopes, who.players, who.owner),
        )

    @property
    def cookie(self) -> str:
        """The reader's habits as the browser sends them."""
        return f"{COOKIE}={self.view.cookie()}"

    def at(self, path: str, player_id: str) -> "Asked":
        """The same reader at another page."""
        return replace(self, path=path, query="", player_id=player_id)


def may_be_kept(path: str, player_id: str) -> bool:
    """Whether the page at this address is one of those that are kept."""
    return bool(player_id) or path in BOOK_PAGES or path.startswith(TEST_PAGES)


@dataclass
class Kept:
    """A rendered page, its state, when it was used last, and players beside the path's own."""

    asked: Asked
    body: str
    state: State
    used_at: float = field(default_factory=time.monotonic)
    shown: Sequence[str] = ()


class PageCache:
    """The pages used last, up to `limit_bytes` of text."""

    def __init__(self, limit_bytes: int = MOST_BYTES) -> None:
        self._limit = limit_bytes
        self._size = 0
        self._pages: OrderedDict[Key, Kept] = OrderedDict()
        self.last: Asked | None = None

    def get(self, asked: Asked, state: State) -> str | None:
        """The page as asked if it was rendered from `state`."""
        kept = self._pages.get(asked.key)
        if kept is None or kept.state != state:
            return None
        self._pages.move_to_end(asked.key)
        kept.used_at = time.monotonic()
        return kept.body

    def shown(self, asked: Asked) -> list[str]:
        """Whom a kept page of the whole book tells of."""
        kept = self._pages.get(asked.key)
        return [] if kept is None else list(kept.shown)

    def holds(self, key: Key, state: State) -> bool:
        """Whether the page is there as of `state`; does not count as a use."""
        kept = self._pages.get(key)
        return kept is not None and kept.state == state

    def put(
        self,
        asked: Asked,
        state: State,
        body: str,
        *,
        used: bool = True,
        shown: Sequence[str] = (),
    ) -> None:
        """Keep a page; the least recently used go when there is no room.

        shown: whom a page of the whole book tells of.
        used: whether a reader asked for it; one rendered ahead keeps the time of its last use.
        """
        old = self._pages.get(asked.key)
        used_at = time.monotonic() if used or old is None else old.used_at
        self.drop(asked.key)
        self._pages[asked.key] = Kept(asked, body, state, used_at, shown)
        self._size += len(body)
        while self._size > self._limit:
            _, gone = self._pages.popitem(last=False)
            self._size -= len(gone.body)

    def drop(self, key: Key) -> None:
        """Forget one page."""
        old = self._pages.pop(key, None)
        self._size -= len(old.body) if old is not None else 0

    def used_since(self, moment: float) -> list[tuple[Asked, State]]:
        """Pages used since a moment of the monotonic clock, the ones used last first."""
        kept = sorted(self._pages.values(), key=lambda one: -one.used_at)
        return [(one.asked, one.state) for one in kept if one.used_at >= moment]


def page_cache(request: Request) -> PageCache:
    """The cache of this application."""
    found: PageCache = request.app.state.page_cache
    return found


def state_of(
    players: PlayerCards, player_id: str, today: Callable[[], datetime] = lambda: datetime.now(UTC)
) -> State | None:
    """What a page of this player is made of, or of all when the id is empty.

    None while it may still be changing, for a book too large to look at every folder of, and for
    one without players, as it is their stamps that vouch for the rest of the book.
    """
    ids = tuple(players.ids())
    wanted = (player_id,) if player_id else ids
    if not 1 <= len(wanted) <= MOST_PLAYERS:
        return None
    stamps: list[Stamp] = []
    for name in wanted:
        stamp = players.stamp(name)
        if stamp is None or not stamp.settled:
            return None
        stamps.append(stamp)
    return (*stamps, ids, today().date())
