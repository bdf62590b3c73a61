"""The whole trip of one export: read, give each row its identity, commit as one folder.

Rules
-----
1. A file-level fault raises and keeps nothing; a bad row is set aside and the good rows land.
2. rows in = rows kept + rows set aside + exact repeats, or nothing is committed.
3. The same bytes for the same player with other options replace the earlier import (undoable);
   the same bytes for another player are an error that asks whose they are.
"""

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

import pyarrow as pa

from ingest.errors import NoLayout, WhoseRows
from ingest.identity import identify, value_hashes
from ingest.import_large import LargeReading, is_large, read_large
from ingest.ledger import Ledger
from ingest.ledger_entry import TABLE_OF_KIND, Arrival, ledger_entry, options_text
from ingest.options import Options
from ingest.overlap import Known, Overlap
from ingest.players import Player, check_zone
from ingest.provenance import utc_now
from ingest.reading import Reading, read_export
from ingest.store import Batch, Pending, commit, file_sha256, undo
from ingest.to_arrow import to_arrow
from schemas.tables import arrow_schema


@dataclass(frozen=True)
class Imported:
    """What became of one file."""

    source_name: str
    ledger: Ledger
    new: bool
    overlap: Overlap
    reading: Reading | None


def import_file(
    store: Path,
    source: Path | bytes,
    player: Player,
    *,
    name: str | None = None,
    options: Options | None = None,
    batch: Batch | None = None,
    known: Known | None = None,
    now: datetime | None = None,
) -> Imported:
    """Take one export in for `player`; with `batch`, visible once the batch commits.

    Raises:
        IngestError: the file as a whole cannot be taken; nothing was written.
    """
    name = name or (source.name if isinstance(source, Path) else "pasted text")
    options = _with_player(options or Options(), player)
    for zone in (options.zone, options.player_zone):
        if zone:
            check_zone(zone)
    sha256 = file_sha256(source)
    known = known or Known(store)
    earlier = known.imports_of_source(sha256)
    _refuse_foreign(earlier, player, name)
    again = _same_again(store, earlier, player, options)
    if again is not None:
        return Imported(name, again, new=False, overlap=Overlap(), reading=None)
    arrival = Arrival(
        name, source, sha256, player.player_id, options_text(options), now or utc_now()
    )
    if isinstance(source, Path) and is_large(source):
        large = read_large(store, source, arrival, options, known)
        if large is not None:
            return _finish_large(store, large, arrival, earlier, known)
    reading = read_export(source, name=name, options=options)
    _refuse_rejected(reading, name)
    table = TABLE_OF_KIND[reading.kind]
    values = value_hashes(reading.table, table)
    frame = identify(reading.table, table, values)
    ledger = ledger_entry(reading, arrival)
    ledger = replace(ledger, supersedes=_replaced(earlier, ledger))
    overlap = known.compare(player.player_id, table, frame, values, replaced=ledger.supersedes)
    rows = {table: to_arrow(frame, table, ledger.import_id)}
    pending = Pending(ledger, {**rows, **_set_aside(reading, ledger)}, source)
    committed = batch.add(pending) if batch else commit(store, pending)
    known.learn(table, frame, values, committed.folder)
    return Imported(name, ledger, committed.new, overlap, reading)


def _finish_large(
    store: Path, large: LargeReading, arrival: Arrival, earlier: list[Ledger], known: Known
) -> Imported:
    ledger = ledger_entry(large.reading, arrival, large.n_rows)
    ledger = replace(ledger, supersedes=_replaced(earlier, ledger))
    rows = {TABLE_OF_KIND[ledger.kind]: large.rows}
    pending = Pending(ledger, {**rows, **_set_aside(large.reading, ledger)}, arrival.source)
    committed = commit(store, pending)
    known.learn_anew(committed.folder)
    return Imported(arrival.name, ledger, committed.new, large.overlap, large.reading)


def _with_player(options: Options, player: Player) -> Options:
    return replace(
        options,
        player_zone=options.player_zone or player.zone,
        player_handedness=options.player_handedness or player.handedness,
    )


def _refuse_foreign(earlier: list[Ledger], player: Player, name: str) -> None:
    others = {ledger.player_id for ledger in earlier} - {player.player_id}
    if others and all(ledger.player_id != player.player_id for ledger in earlier):
        raise WhoseRows(
            f"these bytes are already in the store for player {', '.join(sorted(others))}.",
            "undo that import first if the rows are this player's, or leave it as it is.",
            file=name,
        )


def _same_again(
    store: Path, earlier: list[Ledger], player: Player, options: Options
) -> Ledger | None:
    """The import of these bytes under these options, where there is one; it stands from now on."""
    text = options_text(options)
    mine = [ledger for ledger in earlier if ledger.player_id == player.player_id]
    found = next((ledger for ledger in mine if ledger.options == text), None)
    if found is not None:
        _take_back_successors(store, found, mine)
    return found


def _take_back_successors(store: Path, ledger: Ledger, mine: list[Ledger]) -> None:
    for other in mine:
        if other.supersedes == ledger.import_id:
            _take_back_successors(store, other, mine)
            undo(store, other.player_id, other.import_id)


def _replaced(earlier: list[Ledger], ledger: Ledger) -> str | None:
    gone = {old.supersedes for old in earlier}
    standing = [
        old.import_id
        for old in earlier
        if old.player_id == ledger.player_id
        and old.import_id not in gone
        and old.import_id != ledger.import_id
    ]
    return standing[-1] if standing else None


def _refuse_rejected(reading: Reading, name: str) -> None:
    if reading.outcome == "rejected" or reading.kind not in TABLE_OF_KIND:
        raise NoLayout(
            reading.reason or "the columns are of no kind that is known.",
            reading.mend or "look at it with `carrybook preview`, then say `--kind`.",
            file=name,
        )


def _set_aside(reading: Reading, ledger: Ledger) -> dict[str, pa.Table]:
    if not reading.set_aside:
        return {}
    rows = [
        {
            "source_line": row.line,
            "column": row.column,
            "value": row.value,
            "code": row.code,
            "reason": row.reason,
            "mend": row.mend,
            "raw_text": row.raw,
            "import_id": ledger.import_id,
        }
        for row in reading.set_aside
    ]
    return {"set_aside": pa.Table.from_pylist(rows, schema=arrow_schema("set_aside"))}
