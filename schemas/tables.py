"""The one definition of every table: Table Schema JSON read into columns and Arrow schemas.

The `*.schema.json` files beside this module are the truth. Each field has a name (with its unit
in it), a type, a description, a UCUM `unit` where it is a number, and constraints. Everything
else (Arrow schemas with metadata, validation, the columns page, empty views) is derived here.
"""

import json
from dataclasses import dataclass
from functools import cache
from importlib import resources

import pyarrow as pa

TABLES = (
    "shots",
    "swings",
    "marks",
    "scores",
    "homework",
    "edits",
    "set_aside",
    "imports",
    "players",
    "sessions",
    "pairs",
    "population",
)

ARROW_TYPES: dict[str, pa.DataType] = {
    "string": pa.string(),
    "integer": pa.int64(),
    "number": pa.float64(),
    "boolean": pa.bool_(),
    "date": pa.date32(),
    "datetime": pa.timestamp("us", tz="UTC"),
    "object": pa.map_(pa.string(), pa.string()),
}


@dataclass(frozen=True)
class Column:
    """One column of a table, as its Table Schema field states it."""

    name: str
    type: str
    description: str
    unit: str | None = None
    required: bool = False
    minimum: float | None = None
    maximum: float | None = None
    allowed: tuple[str, ...] = ()
    pattern: str | None = None

    def arrow_field(self) -> pa.Field:
        """The column as an Arrow field whose metadata holds its description and UCUM unit."""
        metadata = {"description": self.description}
        if self.unit is not None:
            metadata["unit"] = self.unit
        return pa.field(self.name, ARROW_TYPES[self.type], not self.required, metadata)


@cache
def table_schema(table: str) -> dict[str, object]:
    """The Table Schema of `table` as parsed JSON. Raises KeyError for an unknown table."""
    if table not in TABLES:
        raise KeyError(table)
    text = resources.files(__package__).joinpath(f"{table}.schema.json").read_text("utf-8")
    parsed: dict[str, object] = json.loads(text)
    return parsed


@cache
def columns(table: str) -> dict[str, Column]:
    """The columns of `table` by name, in order."""
    fields = table_schema(table)["fields"]
    assert isinstance(fields, list)
    return {entry["name"]: _column(entry) for entry in fields}


def _column(entry: dict[str, object]) -> Column:
    constraints = entry.get("constraints", {})
    assert isinstance(constraints, dict)
    return Column(
        name=str(entry["name"]),
        type=str(entry["type"]),
        description=str(entry["description"]),
        unit=str(entry["unit"]) if "unit" in entry else None,
        required=bool(constraints.get("required", False)),
        minimum=constraints.get("minimum"),
        maximum=constraints.get("maximum"),
        allowed=tuple(constraints.get("enum", ())),
        pattern=constraints.get("pattern"),
    )


@cache
def arrow_schema(table: str) -> pa.Schema:
    """The Arrow schema of `table`; field and table metadata carry units and descriptions."""
    schema = table_schema(table)
    metadata = {
        "table": table,
        "version": str(schema["version"]),
        "description": str(schema["description"]),
    }
    return pa.schema([column.arrow_field() for column in columns(table).values()], metadata)
