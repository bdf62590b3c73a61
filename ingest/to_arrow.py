"""A frame of canonical columns as an Arrow table with exactly the columns of its schema."""

import polars as pl
import pyarrow as pa

from schemas.tables import arrow_schema


def to_arrow(frame: pl.DataFrame, table: str, import_id: str) -> pa.Table:
    """`frame` with every column of the schema of `table`, in its order and types."""
    schema = arrow_schema(table)
    present = frame.with_columns(import_id=pl.lit(import_id)).to_arrow()
    arrays = [
        _column(present.column(field.name), field.type)
        if field.name in present.column_names
        else pa.nulls(frame.height, field.type)
        for field in schema
    ]
    return pa.Table.from_arrays(arrays, schema=schema)


def _column(column: pa.ChunkedArray, wanted: pa.DataType) -> pa.ChunkedArray:
    if not pa.types.is_map(wanted) or pa.types.is_map(column.type):
        return column.cast(wanted)
    return pa.chunked_array([_as_map(chunk, wanted) for chunk in column.chunks], wanted)


def _as_map(pairs: pa.Array, wanted: pa.MapType) -> pa.Array:
    """A list of (key, value) structs, as polars writes a map, with the type of a map."""
    if pa.types.is_null(pairs.type):
        return pa.nulls(len(pairs), wanted)
    narrow = pairs.cast(pa.list_(pa.struct([wanted.key_field, wanted.item_field])))
    validity, offsets = narrow.buffers()[:2]
    return pa.Array.from_buffers(
        wanted,
        len(narrow),
        [validity, offsets],
        narrow.null_count,
        narrow.offset,
        [narrow.values],
    )
