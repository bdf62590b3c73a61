"""The whole trip of one export: read, give each row its identity, commit as one folder.

Rules
-----
1. A file-level fault raises and keeps nothing; a bad row is set aside and the good rows land.
2. rows in = rows kept + rows set aside + exact repeats, or nothing is committed.
3. The same bytes for the same player with other options replace the earlier import (undoable);
   the same bytes for another player are an error that asks whose they are.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from ingest.errors import WhoseRows
from ingest.import_large import LargeReading, is_large, read_large
from ingest.ledger import Ledger
from ingest.ledger_entry import (
    TABLE_OF_KIND,
    Arrival,
    ledger_entry,
    options_from_text,
    options_text,
)
from ingest.options import Options
from ingest.overlap import Known, Overlap
from ingest.player_rows import ALL, folded
from ingest.player_rows import QUESTION as WHOSE
from ingest.players import Player
from ingest.prepare import Prepared, options_for, prepare, set_aside_table
from ingest.provenance import utc_now
from ingest.store import Batch, Pending, commit, file_sha256, undo


@dataclass(frozen=True)
class Imported:
    """What became of one file."""

    source_name: str
    ledger: Ledger
    new: bool
    overlap: Overlap


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
    ready: Prepared | None = None,
) -> Imported:
    """Take one export in for `player`; with `batch`, visible once the batch commits.

    Args:
        ready: what `ingest.prepare` made of this source for this player with these options.

    Raises:
        IngestError: the file as a whole cannot be taken; nothing was written.
    """
    name = name or (source.name if isinstance(source, Path) else "pasted text")
    options = options_for(player, options)
    sha256 = ready.ledger.source_sha256 if ready else file_sha256(source)
    known = known or Known(store)
    earlier = known.imports_of_source(sha256)
    _refuse_foreign(earlier, player, name, options)
    again = _same_again(store, earlier, player, options)
    if again is not None:
        return Imported(name, again, new=False, overlap=Overlap())
    arrival = Arrival(
        name, source, sha256, player.player_id, options_text(options), now or utc_now()
    )
    if ready is None and isinstance(source, Path) and is_large(source):
        large = read_large(store, source, arrival, options, known)
        if large is not None:
            return _finish_large(store, large, arrival, earlier, known)
    ready = ready or prepare(arrival, options)
    return _finish(store, ready, arrival, earlier=earlier, known=known, batch=batch)


def _finish(
    store: Path,
    ready: Prepared,
    arrival: Arrival,
    *,
    earlier: list[Ledger],
    known: Known,
    batch: Batch | None,
) -> Imported:
    ledger = replace(ready.ledger, imported_at_utc=arrival.at.isoformat())
    ledger = replace(ledger, supersedes=_replaced(earlier, ledger))
    table = TABLE_OF_KIND[ledger.kind]
    overlap = known.compare(
        arrival.player_id, table, ready.events, ready.values, replaced=ledger.supersedes
    )
    pending = Pending(ledger, ready.tables, arrival.source, ready.packed)
    committed = batch.add(pending) if batch else commit(store, pending)
    known.learn(ledger, ready.events, ready.values, table=table, folder=committed.folder)
    return Imported(arrival.name, ledger, committed.new, overlap)


def _finish_large(
    store: Path, large: LargeReading, arrival: Arrival, earlier: list[Ledger], known: Known
) -> Imported:
    ledger = ledger_entry(large.reading, arrival, large.n_rows)
    ledger = replace(ledger, supersedes=_replaced(earlier, ledger))
    rows = {TABLE_OF_KIND[ledger.kind]: large.rows}
    pending = Pending(ledger, {**rows, **set_aside_table(large.reading, ledger)}, arrival.source)
    committed = commit(store, pending)
    known.learn_anew(committed.folder)
    return Imported(arrival.name, ledger, committed.new, large.overlap)


def _refuse_foreign(earlier: list[Ledger], player: Player, name: str, options: Options) -> None:
    wanted = _wanted(options)
    gone = {ledger.supersedes for ledger in earlier}
    standing = (ledger for ledger in earlier if ledger.import_id not in gone)
    taken = {_wanted(options_from_text(ledger.options)) for ledger in standing}
    if wanted != ALL and not taken & {wanted, ALL}:
        return
    others = {ledger.player_id for ledger in earlier} - {player.player_id}
    if others and all(ledger.player_id != player.player_id for ledger in earlier):
        raise WhoseRows(
            f"these bytes are already in the store for player {', '.join(sorted(others))}.",
            "undo that import first if the rows are this player's, or leave it as it is.",
            file=name,
        )


def _wanted(options: Options) -> str:
    """Whose rows of the file are taken, told apart as rows are."""
    return folded(options.answers.get(WHOSE, ALL))


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


def import_all_sheets(take: Callable[[Options], Imported], given: Options) -> list[Imported]:
    """What `take` imports, and the sheets of other kinds in the same workbook, each as its own.

    Raises: what `take` does.
    """
    first = take(given)
    kinds = first.ledger.details.get("other_kinds", [])
    return [first, *(take(replace(given, kind=kind)) for kind in kinds)]


def _of_other_sheets(old: Ledger, new: Ledger) -> bool:
    """Whether both came from one workbook and from different sheets of it."""
    before, now = _titles(old), _titles(new)
    return bool(before and now) and not before & now


def _titles(ledger: Ledger) -> set[str]:
    """The sheets that were read, whatever the file was called then."""
    names: list[str] = ledger.details.get("sheets", [])
    return {name.removeprefix(f"{ledger.source_name}#") for name in names}


def _replaced(earlier: list[Ledger], ledger: Ledger) -> str | None:
    gone = {old.supersedes for old in earlier}
    standing = [
        old.import_id
        for old in earlier
        if old.player_id == ledger.player_id
        and old.import_id not in gone
        and old.import_id != ledger.import_id
        and not _of_other_sheets(old, ledger)
    ]
    return standing[-1] if standing else None
