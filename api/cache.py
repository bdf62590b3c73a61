"""Answers as encoded bytes, each good for one state of what it was computed from.

An entry holds the body, its strong ETag (a hash of the body) and the stamp of the player's folder
it was computed from; it is served only while that stamp stands. Rights are not part of an entry:
it names the scope and the player, and every reader is held against them on every request.
"""

import asyncio
import gzip
import hashlib
from collections import OrderedDict
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field

from api.player_cards import Stamp

Headers = list[tuple[bytes, bytes]]
COMPRESS_FROM = 1024
CACHE_CONTROL = b"private, no-cache"


@dataclass
class Entry:
    """One encoded answer."""

    body: bytes
    media_type: bytes
    route: str
    needed: str
    player_id: str
    stamp: Stamp
    etag: str = field(init=False)
    _plain: Headers = field(init=False)
    _zipped: tuple[bytes, Headers] | None = field(init=False, default=None)

    def __post_init__(self) -> None:
        self.etag = strong_etag(self.body)
        self._plain = self._headers(self.body, self.etag)

    def _headers(self, body: bytes, etag: str) -> Headers:
        return [
            (b"content-type", self.media_type),
            (b"content-length", str(len(body)).encode()),
            (b"etag", etag.encode()),
            (b"cache-control", CACHE_CONTROL),
            (b"vary", b"Authorization, Accept-Encoding"),
        ]

    def answer(self, if_none_match: bytes, accept_encoding: bytes) -> tuple[int, Headers, bytes]:
        """Status, headers and body for a reader with these request headers."""
        body, headers = self.body, self._plain
        if b"gzip" in accept_encoding and len(body) >= COMPRESS_FROM:
            body, headers = self._gzip()
        if if_none_match and matches(if_none_match.decode("latin-1"), self._etags()):
            return 304, [pair for pair in headers if not pair[0].startswith(b"content-")], b""
        return 200, headers, body

    def _etags(self) -> tuple[str, str]:
        return self.etag, f'{self.etag[:-1]}-gzip"'

    def _gzip(self) -> tuple[bytes, Headers]:
        if self._zipped is None:
            body = gzip.compress(self.body, 6, mtime=0)
            headers = [*self._headers(body, self._etags()[1]), (b"content-encoding", b"gzip")]
            self._zipped = (body, headers)
        return self._zipped


def strong_etag(body: bytes) -> str:
    """A strong entity tag: equal tags mean equal bytes."""
    return f'"{hashlib.sha256(body).hexdigest()[:32]}"'


def matches(if_none_match: str, etags: tuple[str, ...]) -> bool:
    """Whether an If-None-Match header names one of `etags` (weak comparison, RFC 9110 §13.1.2)."""
    if if_none_match.strip() == "*":
        return True
    asked = {tag.strip().removeprefix("W/") for tag in if_none_match.split(",")}
    return not asked.isdisjoint(etags)


@dataclass
class _Flight:
    """One computation under way, and how many do it or wait for it."""

    lock: asyncio.Lock = field(default_factory=asyncio.Lock)
    users: int = 0


class Cache:
    """The most recently used entries, up to `limit_bytes` of bodies."""

    def __init__(self, limit_bytes: int) -> None:
        self._limit = limit_bytes
        self._size = 0
        self._entries: OrderedDict[str, Entry] = OrderedDict()
        self._flights: dict[str, _Flight] = {}

    def get(self, key: str) -> Entry | None:
        """The entry of `key`, whatever its stamp."""
        entry = self._entries.get(key)
        if entry is not None:
            self._entries.move_to_end(key)
        return entry

    def put(self, key: str, entry: Entry) -> None:
        """Keep `entry`; the least recently used go when there is no room."""
        self.drop(key)
        if len(entry.body) > self._limit // 4:
            return
        self._entries[key] = entry
        self._size += len(entry.body)
        while self._size > self._limit:
            _, oldest = self._entries.popitem(last=False)
            self._size -= len(oldest.body)

    def drop(self, key: str) -> None:
        """Forget one entry."""
        entry = self._entries.pop(key, None)
        if entry is not None:
            self._size -= len(entry.body)

    def forget_player(self, player_id: str) -> None:
        """Forget everything about a player."""
        for key in self.keys_of(player_id):
            self.drop(key)

    def keys_of(self, player_id: str) -> list[str]:
        """Keys of the entries about a player, most recently used first."""
        return [
            key for key, entry in reversed(self._entries.items()) if entry.player_id == player_id
        ]

    def players(self) -> set[str]:
        """Players somebody has an entry about."""
        return {entry.player_id for entry in self._entries.values()}

    @asynccontextmanager
    async def flight(self, key: str) -> AsyncIterator[None]:
        """Only one computation of `key` at a time; the others wait for its entry."""
        flight = self._flights.setdefault(key, _Flight())
        flight.users += 1
        try:
            async with flight.lock:
                yield
        finally:
            flight.users -= 1
            if flight.users == 0:
                self._flights.pop(key, None)
