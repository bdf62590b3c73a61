"""A frame of canonical columns as an Arrow table with exactly the columns of its schema."""

import polars as pl
import pyarrow as pa

from schemas.tables import arrow_schema


def to_arrow(frame: pl.DataFrame, table: str, import_id: str) -> pa.Table:
    """`frame` with every column of the schema of `table`, in its order and types."""
    schema = arrow_schema(table)
    present = frozenset(frame.columns)
    arrays = [
        _column(frame.get_column(field.name), field.type)
        if field.name in present
        else pa.nulls(frame.height, field.type)
        for field in schema
    ]
    at = schema.get_field_index("import_id")
    if at >= 0:
        arrays[at] = pa.repeat(pa.scalar(import_id, schema.field(at).type), frame.height)
    return pa.Table.from_arrays(arrays, schema=schema)


def _column(series: pl.Series, wanted: pa.DataType) -> pa.Array:
    if pa.types.is_map(wanted):
        return _as_map(series.to_arrow(), wanted)
    column = series.to_arrow()
    return column if column.type.equals(wanted) else column.cast(wanted)


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
