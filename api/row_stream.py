"""Rows on their way out: one batch in memory at a time, each step in a thread."""

from collections.abc import AsyncIterator, Iterator
from itertools import islice

import pyarrow as pa

from analytics.db import Connection, open_store
from analytics.rows import RowFilter, RowTable, row_batches
from api.row_formats import RowFormat
from api.service import Service

END = b""


class RowStream:
    """The rows of one player in one form; opened, read batch by batch, closed.

    Attributes:
        page: the batches of a page when the rows were limited; None for an open stream.
    """

    def __init__(
        self, service: Service, player_id: str, table: RowTable, wanted: RowFilter
    ) -> None:
        self._service = service
        self._player_id = player_id
        self._table = table
        self._wanted = wanted
        self._connection: Connection | None = None

    async def open(self, fields: list[str] | None) -> None:
        """Run the query; the first rows are ready afterwards."""
        await self._service.runner.run(self._open, fields)

    def _open(self, fields: list[str] | None) -> None:
        connection = open_store(self._service.settings.store, self._player_id)
        self._connection = connection
        reader = row_batches(connection, self._table, self._wanted)
        self.schema: pa.Schema = reader.schema
        self._fields = fields
        self._batches: Iterator[pa.RecordBatch] = iter(reader)

    async def page(self) -> list[pa.RecordBatch]:
        """All rows at once: for a limited number of them."""
        return await self._service.runner.run(list, self._batches)

    async def encoded(
        self, form: RowFormat, page: list[pa.RecordBatch] | None = None
    ) -> AsyncIterator[bytes]:
        """The rows as bytes, in the columns asked for."""
        batches = self._batches if page is None else iter(page)
        schema = self.schema
        if self._fields is not None:
            names = self._fields
            schema = pa.schema([schema.field(name) for name in names])
            batches = (batch.select(names) for batch in batches)
        parts = form.encode(schema, batches)
        try:
            while part := await self._service.runner.run(_next, parts):
                yield part
        finally:
            self.close()

    def close(self) -> None:
        """Let go of the query."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None


def _next(parts: Iterator[bytes]) -> bytes:
    """The next bytes that are not empty; empty bytes at the end."""
    return next(islice((part for part in parts if part), 1), END)
