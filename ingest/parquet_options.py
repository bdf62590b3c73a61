"""How tables of the store are encoded in Parquet.

Rules, by measurement on 1.9 million shots (half the size, two thirds of the time to write, half of
the time to read, against the defaults of the library):
- whole numbers and instants are stored as their small steps;
- texts and measured values, which repeat, by a dictionary; identities, which never do, as they are.
"""

from functools import cache

import pyarrow as pa

from schemas.tables import arrow_schema

UNIQUE = frozenset({"event_id", "content_id"})
PARTS_OF_A_MAP = ("key_value.key", "key_value.value")


@cache
def parquet_options(table: str, *, short: bool = False) -> dict[str, object]:
    """Keyword arguments for pyarrow's Parquet writers of rows of `table`.

    A `short` table is written plainly: setting up dictionaries and a stronger compression for each
    column would take twice the time and save nothing.
    """
    if short:
        return {"compression": "snappy", "use_dictionary": False}
    stepped, repeated = {}, []
    for field in arrow_schema(table):
        if pa.types.is_map(field.type):
            repeated += [f"{field.name}.{part}" for part in PARTS_OF_A_MAP]
        elif pa.types.is_integer(field.type) or pa.types.is_timestamp(field.type):
            stepped[field.name] = "DELTA_BINARY_PACKED"
        elif field.name not in UNIQUE:
            repeated.append(field.name)
    return {"compression": "zstd", "use_dictionary": repeated, "column_encoding": stepped}
