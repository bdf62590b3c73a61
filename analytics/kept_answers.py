"""Answers to questions already asked, for as long as the rows they came from stand.

A key names the rows (which files, of which player, as of when) and the question with its
parameters; the same rows give the same answer, so nothing here ever has to be thrown away for being
wrong, only for want of room.
"""

from collections import OrderedDict
from collections.abc import Hashable
from threading import Lock

import pyarrow as pa

LIMIT_BYTES = 64 << 20
LARGEST_SHARE = 8
"""An answer above the 8th part of the room is not kept: it would push out too many others."""


class KeptAnswers:
    """The tables used last, up to `limit_bytes` of them; may be used from any thread."""

    def __init__(self, limit_bytes: int = LIMIT_BYTES) -> None:
        self._limit = limit_bytes
        self._size = 0
        self._tables: OrderedDict[Hashable, pa.Table] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Hashable) -> pa.Table | None:
        """The answer under `key`."""
        with self._lock:
            found = self._tables.get(key)
            if found is not None:
                self._tables.move_to_end(key)
            return found

    def put(self, key: Hashable, table: pa.Table) -> None:
        """Keep an answer; the least recently used go when there is no room."""
        if table.nbytes > self._limit // LARGEST_SHARE:
            return
        with self._lock:
            if key in self._tables:
                return
            self._tables[key] = table
            self._size += table.nbytes
            while self._size > self._limit:
                _, gone = self._tables.popitem(last=False)
                self._size -= gone.nbytes

    def forget(self) -> None:
        """Drop everything, as when somebody's rows must not stay anywhere."""
        with self._lock:
            self._tables.clear()
            self._size = 0
