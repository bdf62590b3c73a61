"""Writes COLUMNS.md, the page of every table and column, from the schemas.

python -m schemas.describe           write the page
python -m schemas.describe --check   exit 1 when the page is stale
"""

import sys
from pathlib import Path

from schemas.tables import TABLES, Column, columns, table_schema

PAGE = Path(__file__).with_name("COLUMNS.md")

HEAD = """# Columns

Made from the `*.schema.json` files beside it by `python -m schemas.describe`; edit those.
Numbers are SI (units are UCUM codes), instants are UTC. Every file carries units and descriptions
in its Arrow metadata. Rows live in `STORE/v1/player=*/import=*/<table>.parquet`, so the player
stands in the path, never in a row.
"""


def page() -> str:
    """The whole page as Markdown."""
    return HEAD + "".join(_table(name) for name in TABLES)


def _table(name: str) -> str:
    schema = table_schema(name)
    lines = [
        f"\n## {name}: {schema['title']}\n",
        f"{schema['description']}\n",
        "| column | type | unit | allowed | description |",
        "|---|---|---|---|---|",
        *(_row(column) for column in columns(name).values()),
    ]
    return "\n".join(lines) + "\n"


def _row(column: Column) -> str:
    needed = " (required)" if column.required else ""
    cells = (f"`{column.name}`{needed}", column.type, column.unit or "", _allowed(column))
    return f"| {' | '.join(cells)} | {column.description} |"


def _allowed(column: Column) -> str:
    if column.allowed:
        return ", ".join(column.allowed)
    if column.pattern:
        return f"`{column.pattern}`"
    low, high = column.minimum, column.maximum
    if low is not None and high is not None:
        return f"{low:g} … {high:g}"
    return f"≥ {low:g}" if low is not None else ""


def main(arguments: list[str]) -> int:
    """Write or check the page; returns the exit code."""
    if "--check" in arguments:
        stale = not PAGE.is_file() or PAGE.read_text("utf-8") != page()
        if stale:
            sys.stderr.write("COLUMNS.md is stale: run `python -m schemas.describe`.\n")
        return int(stale)
    PAGE.write_text(page(), "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
