"""How rows look in the description of the service: columns, units and an example, per form."""

from typing import Any

from api.row_formats import ARROW, CSV, JSON, PARQUET
from schemas.tables import Column, columns

Json = dict[str, Any]  # a JSON document

TYPES: dict[str, Json] = {
    "string": {"type": ["string", "null"]},
    "integer": {"type": ["integer", "null"]},
    "number": {"type": ["number", "null"]},
    "boolean": {"type": ["boolean", "null"]},
    "date": {"type": ["string", "null"], "format": "date"},
    "datetime": {"type": ["string", "null"], "format": "date-time"},
    "object": {"type": ["string", "null"]},
}

ADDED: dict[str, Json] = {
    "shots": {
        "session_id": TYPES["string"] | {"description": "Day of practice the ball belongs to."},
        "day": TYPES["date"] | {"description": "Local day."},
        "strike": TYPES["string"] | {"description": "mishit or clean, where the coach said so."},
        "strike_by": TYPES["string"] | {"description": "Who said so."},
    },
    "swings": {
        "sensor_day": TYPES["date"] | {"description": "Local day by the sensor's own clock."},
    },
}
"""Columns that the views add to the stored ones."""


def _property(column: Column) -> Json:
    unit = f" Unit: {column.unit}." if column.unit else ""
    text = " As JSON text." if column.type == "object" else ""
    return TYPES[column.type] | {"description": column.description + unit + text}


def row_responses(table: str) -> dict[int | str, Json]:
    """The `responses` of a route that answers rows of `table`."""
    properties = {c.name: _property(c) for c in columns(table).values()} | ADDED[table]
    row = {"type": "object", "properties": properties}
    page = {"type": "object", "required": ["items"], "properties": {"items": {"type": "array"}}}
    page["properties"]["items"] |= {"items": row}  # type: ignore[index]  # the literal above
    example = {"items": [{"event_id": "0123456789abcdef", "club": "SW"}]}
    binary = {"schema": {"type": "string", "format": "binary"}}
    content: Json = {
        JSON: {"schema": page, "example": example},
        CSV: {"schema": {"type": "string"}, "example": "event_id,club\r\n0123456789abcdef,SW\r\n"},
        ARROW: binary,
        PARQUET: binary,
    }
    return {200: {"description": "The rows.", "content": content}}
