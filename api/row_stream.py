"""Rows on their way out: one batch in memory at a time, each step in a thread."""

import asyncio
from collections.abc import AsyncIterator, Iterator
from datetime import datetime
from itertools import islice

import pyarrow as pa

from analytics.rows import EVERY, RowFilter, RowTable, chosen
from api.errors import not_found
from api.kept_rows import kept_rows, kept_rows_as_json, kept_stream, rows_as_of
from api.row_formats import RowFormat
from api.service import Service

END = b""
PIECE_BYTES = 256 * 1024
SECTION_BYTES = 4 << 20
MANY = 5_000
"""Beyond so many rows their JSON is kept; below it is written faster than found."""


class RowStream:
    """The rows of one player in one form: opened, then read batch by batch."""

    def __init__(
        self,
        service: Service,
        player_id: str,
        table: RowTable,
        wanted: RowFilter,
        as_of: datetime | None = None,
    ) -> None:
        self._service = service
        self._player_id = player_id
        self._table = table
        self._wanted = wanted
        self._as_of = as_of
        self._fields: list[str] | None = None
        self._ready: pa.Buffer | None = None

    @property
    def size_bytes(self) -> int | None:
        """Length of the answer where it is known beforehand."""
        return None if self._ready is None else int(self._ready.size)

    async def open(self, fields: list[str] | None, form: RowFormat) -> None:
        """Find the rows; the first are ready afterwards."""
        self._fields = fields
        await self._service.runner.run(self._open, form)

    def _open(self, form: RowFormat) -> None:
        stamp = self._service.players.stamp(self._player_id)
        if stamp is None:
            raise not_found("such player")
        store = self._service.settings.store
        many_as_json = form.name == "json" and self._wanted.rows > MANY and self._fields is None
        if self._as_of is not None:
            found = rows_as_of(store, self._player_id, self._table, self._as_of)
        elif many_as_json and stamp.settled:
            found = kept_rows_as_json(store, self._player_id, self._table, stamp)
        else:
            found = kept_rows(store, self._player_id, self._table, stamp)
        if form.name == "arrow" and self._everything:
            self._ready = kept_stream(store, self._player_id, self._table, stamp)
        self.schema, batches = found
        self._batches = chosen(batches, self._table, self._wanted)

    @property
    def _everything(self) -> bool:
        """Whether every row and column is asked for as the store stands now."""
        plain = self._as_of is None and self._fields is None
        return plain and self._wanted == RowFilter(None, None, None, None, EVERY)

    async def page(self) -> list[pa.RecordBatch]:
        """All rows at once: for a limited number of them."""
        return await self._service.runner.run(list, self._batches)

    async def encoded(
        self, form: RowFormat, page: list[pa.RecordBatch] | None = None
    ) -> AsyncIterator[memoryview]:
        """The rows as bytes, in the columns asked for, in pieces that the caches hold."""
        batches: Iterator[pa.RecordBatch] = self._batches if page is None else iter(page)
        schema = self.schema
        if self._fields is not None:
            names = self._fields
            schema = pa.schema([schema.field(name) for name in names])
            batches = (batch.select(names) for batch in batches)
        parts = form.encode(schema, batches) if self._ready is None else _sections(self._ready)
        following = asyncio.ensure_future(self._service.runner.run(_next, parts))
        try:
            while part := await following:
                following = asyncio.ensure_future(self._service.runner.run(_next, parts))
                for piece in _pieces(part):  # while these are sent, the next batch is written
                    yield piece
        finally:
            await asyncio.gather(following, return_exceptions=True)


def _sections(ready: pa.Buffer) -> Iterator[bytes]:
    """The bytes of a mapped file, read from it by whoever asks for the next: a thread."""
    return (
        ready[start : start + SECTION_BYTES].to_pybytes()
        for start in range(0, ready.size, SECTION_BYTES)
    )


def _pieces(part: bytes) -> Iterator[memoryview]:
    whole = memoryview(part)
    return (whole[start : start + PIECE_BYTES] for start in range(0, len(whole), PIECE_BYTES))


def _next(parts: Iterator[bytes]) -> bytes:
    """The next bytes that are not empty; empty bytes at the end."""
    return next(islice((part for part in parts if part), 1), END)
