"""One export made ready to be committed: read, its rows identified, its tables in store columns.

Nothing here is visible to a reader of the store, and nothing depends on what the store holds, so
that it can be done ahead of its turn and in another process (`ingest/prepare_ahead.py`).
"""

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import polars as pl
import pyarrow as pa

from ingest.errors import NoLayout
from ingest.identity import Hashes, identify, value_hashes
from ingest.ledger import Ledger
from ingest.ledger_entry import TABLE_OF_KIND, Arrival, ledger_entry
from ingest.options import Options
from ingest.players import Player, check_zone
from ingest.read_export import read_export
from ingest.reading import Reading
from ingest.store import pack_source, write_table
from ingest.store_writing import StoreWriting
from ingest.to_arrow import to_arrow
from schemas.store_paths import tmp_dir
from schemas.tables import arrow_schema


@dataclass(frozen=True)
class Prepared:
    """An export ready to be committed.

    `events` has the columns `event_id` and `source_line`, `values` the value hash of each row;
    `tables` and `packed` may stand in files under the store's `tmp/` already.
    """

    ledger: Ledger
    events: pl.DataFrame
    values: Hashes
    tables: Mapping[str, pa.Table | Path]
    packed: Path | None = None

    def discard(self) -> None:
        """Remove the files that nobody took over."""
        for place in (*self.tables.values(), self.packed):
            if isinstance(place, Path):
                place.unlink(missing_ok=True)


def options_for(player: Player, options: Options | None) -> Options:
    """`options` completed by what the player's card says.

    Raises:
        BadOption: a zone that does not exist.
    """
    given = options or Options()
    whole = replace(
        given,
        player_zone=given.player_zone or player.zone,
        player_handedness=given.player_handedness or player.handedness,
    )
    for zone in (whole.zone, whole.player_zone):
        if zone:
            check_zone(zone)
    return whole


def prepare(arrival: Arrival, options: Options) -> Prepared:
    """Read one export and identify its rows.

    Raises:
        IngestError: the file as a whole cannot be taken.
    """
    reading = read_export(arrival.source, name=arrival.name, options=options)
    _refuse_rejected(reading, arrival.name)
    table = TABLE_OF_KIND[reading.kind]
    values = value_hashes(reading.table, table)
    frame = identify(reading.table, table, values)
    ledger = ledger_entry(reading, arrival)
    events = pl.DataFrame([frame.get_column(name) for name in ("event_id", "source_line")])
    tables = {table: to_arrow(frame, table, ledger.import_id), **set_aside_table(reading, ledger)}
    return Prepared(ledger, events, values, tables)


def staged(store: Path, prepared: Prepared, source: Path) -> Prepared:
    """The same with its tables and its packed source in files under the store's `tmp/`."""
    start = tmp_dir(store) / uuid.uuid4().hex[:16]
    packed = start.with_suffix(".zst")
    files: dict[str, Path] = {}
    with StoreWriting(store):
        start.parent.mkdir(parents=True, exist_ok=True)
        for name, table in prepared.tables.items():
            assert isinstance(table, pa.Table)
            files[name] = start.with_suffix(f".{name}")
            write_table(table, name, files[name])
        pack_source(source, packed)
    return replace(prepared, tables=files, packed=packed)


def _refuse_rejected(reading: Reading, name: str) -> None:
    if reading.outcome == "rejected" or reading.kind not in TABLE_OF_KIND:
        raise NoLayout(
            reading.reason or "the columns are of no kind that is known.",
            reading.mend or "look at it with `carrybook preview`, then say `--kind`.",
            file=name,
        )


def set_aside_table(reading: Reading, ledger: Ledger) -> dict[str, pa.Table]:
    """The rows that were not kept, as a table by its name; nothing where every row was."""
    if not reading.set_aside:
        return {}
    rows = reading.set_aside
    columns = {
        "source_line": [row.line for row in rows],
        "column": [row.column for row in rows],
        "value": [row.value for row in rows],
        "code": [row.code for row in rows],
        "reason": [row.reason for row in rows],
        "mend": [row.mend for row in rows],
        "raw_text": [row.raw for row in rows],
        "import_id": [ledger.import_id] * len(rows),
    }
    return {"set_aside": pa.Table.from_pydict(columns, schema=arrow_schema("set_aside"))}
