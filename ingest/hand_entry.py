"""Rows entered by hand (marks, scores, conditions, corrections): a small import of its own.

What was typed is kept as JSON lines, so an entry is traced, undone and redone like any export, and
the same entry sent twice (a phone that retries) is one import. A row may carry an `entry_id` made
by the sender: it then is the row's identity, in whatever batch it arrives, and a row sent again
under it with other values takes the place of the first.
"""

import hashlib
import json
import math
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from pathlib import Path

import polars as pl
import pyarrow as pa

from ingest.errors import BadOption
from ingest.identity import INSTANT, identify
from ingest.ledger import Ledger, import_identity
from ingest.provenance import carrybook_version, utc_now
from ingest.store import Committed, Pending, commit, file_sha256
from ingest.to_arrow import to_arrow
from schemas.row_rules import ORDERS
from schemas.tables import arrow_schema, columns

Cell = str | int | float | bool | date | None
LAYOUT = "by hand@1"
ENTRY_ID = "entry_id"


def enter(
    store: Path,
    player_id: str,
    table: str,
    rows: Sequence[Mapping[str, Cell]],
    *,
    source_name: str = "entered by hand",
    now: datetime | None = None,
) -> Committed:
    """Commit `rows` of `table` (names of its schema, and `entry_id`) as one import.

    Raises:
        BadOption: a column that the table does not have, or a value outside its bounds.
        StoreNotWritable: nothing was written.
    """
    for number, row in enumerate(rows, start=1):
        check_row(table, row, number)
    lines = [json.dumps(row, ensure_ascii=False, default=_iso, sort_keys=True) for row in rows]
    source = ("\n".join(lines) + "\n").encode()
    sha256 = file_sha256(source)
    import_id = import_identity(sha256, player_id, LAYOUT, {"table": table})
    ledger = Ledger(
        import_id=import_id,
        player_id=player_id,
        kind=table,
        source_name=source_name,
        source_sha256=sha256,
        source_bytes=len(source),
        layout=LAYOUT,
        imported_at_utc=(now or utc_now()).isoformat(),
        imported_by=carrybook_version(),
        rows_in=len(rows),
        rows_kept=len(rows),
        rows_set_aside=0,
        rows_repeated=0,
        questions_open=0,
        tables=[table],
        options={"table": table},
    )
    return commit(store, Pending(ledger, {table: _arrow(table, rows, import_id)}, source))


def _arrow(table: str, rows: Sequence[Mapping[str, Cell]], import_id: str) -> pa.Table:
    schema = arrow_schema(table)
    loose = pa.schema([field.with_nullable(True) for field in schema])
    filled = [dict.fromkeys(schema.names) | _without_id(row) for row in rows]
    frame = pl.DataFrame(pa.Table.from_pylist(filled, schema=loose))
    if "source_line" in schema.names:
        frame = frame.with_columns(source_line=pl.int_range(1, len(rows) + 1, dtype=pl.Int64))
    if table in INSTANT:
        frame = _by_entry_id(identify(frame, table), rows)
    return to_arrow(frame, table, import_id)


def _without_id(row: Mapping[str, Cell]) -> dict[str, object]:
    """The row with its entry_id kept where unknown columns go."""
    known: dict[str, object] = {name: value for name, value in row.items() if name != ENTRY_ID}
    return known | ({"extra": [(ENTRY_ID, str(row[ENTRY_ID]))]} if row.get(ENTRY_ID) else {})


def _by_entry_id(frame: pl.DataFrame, rows: Sequence[Mapping[str, Cell]]) -> pl.DataFrame:
    given = [
        hashlib.sha256(str(row[ENTRY_ID]).encode()).hexdigest()[:16] if row.get(ENTRY_ID) else None
        for row in rows
    ]
    named = pl.Series("given", given, dtype=pl.String)
    return frame.with_columns(event_id=pl.coalesce(named, frame.get_column("event_id")))


def check_row(table: str, row: Mapping[str, Cell], number: int = 1) -> None:
    """Hold one row to the limits of its columns and the rules between them.

    Raises: BadOption naming the column.
    """
    _check_columns(table, row, number)
    for order in ORDERS.get(table, ()):
        small, large = row.get(order.smaller), row.get(order.larger)
        if not (isinstance(small, int | float) and isinstance(large, int | float)):
            continue
        if order.broken(small, large):
            reason = order.reason[0].upper() + order.reason[1:] + "."
            raise BadOption(reason, order.mend, row=number, column=order.smaller, value=str(small))


def _check_columns(table: str, row: Mapping[str, Cell], number: int) -> None:
    for name, value in row.items():
        if name == ENTRY_ID:
            continue
        column = columns(table).get(name)
        if column is None:
            raise BadOption(
                f"{table} has no column {name!r}.", "see COLUMNS.md.", row=number, column=name
            )
        if not isinstance(value, int | float) or isinstance(value, bool):
            continue
        low, high = column.minimum, column.maximum
        beyond = (low is not None and value < low) or (high is not None and value > high)
        if beyond or not math.isfinite(value):
            raise BadOption(
                f"{name} must lie between {low} and {high}.",
                "check the number and its unit.",
                row=number,
                column=name,
                value=str(value),
            )


def _iso(value: object) -> str:
    return value.isoformat() if isinstance(value, datetime) else str(value)
