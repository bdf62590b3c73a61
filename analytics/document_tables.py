"""Small JSON documents of the store (ledgers, players) as tables in memory."""

from collections.abc import Mapping, Sequence
from datetime import datetime

import pyarrow as pa

from schemas.tables import arrow_schema


def empty_table(table: str) -> pa.Table:
    """A table without rows, with the player's id beside its columns."""
    schema = arrow_schema(table)
    if "player_id" not in schema.names:
        schema = schema.append(pa.field("player_id", pa.string()))
    return schema.empty_table()


def table_of(documents: Sequence[Mapping[str, object]], table: str) -> pa.Table:
    """The rows of `table` that JSON documents hold; what a document leaves out is null."""
    schema = arrow_schema(table)
    rows = [
        {field.name: _cell(document.get(field.name), field.type) for field in schema}
        for document in documents
    ]
    return pa.Table.from_pylist(
        rows, schema=pa.schema([field.with_nullable(True) for field in schema])
    )


def _cell(value: object, kind: pa.DataType) -> object:
    if isinstance(value, str) and pa.types.is_timestamp(kind):
        return datetime.fromisoformat(value)
    return value
