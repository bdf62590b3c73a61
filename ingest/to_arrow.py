"""A frame of canonical columns as an Arrow table with exactly the columns of its schema."""

import polars as pl
import pyarrow as pa

from schemas.tables import arrow_schema


def to_arrow(frame: pl.DataFrame, table: str, import_id: str) -> pa.Table:
    """`frame` with every column of the schema of `table`, in its order and types."""
    schema = arrow_schema(table)
    present = frame.with_columns(import_id=pl.lit(import_id)).to_arrow()
    arrays = [
        present.column(field.name).cast(field.type)
        if field.name in present.column_names
        else pa.nulls(frame.height, field.type)
        for field in schema
    ]
    return pa.Table.from_arrays(arrays, schema=schema)
