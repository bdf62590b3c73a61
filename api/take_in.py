"""Takes in files and folders of exports: expands, imports in batches, then pairs once a player."""

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from api.after_change import after_change
from ingest.errors import IngestError, NotReadable
from ingest.import_file import Imported, import_all_sheets, import_file
from ingest.importers import endings
from ingest.options import Options
from ingest.overlap import Known
from ingest.players import Player
from ingest.prepare import Prepared
from ingest.prepare_ahead import prepared_ahead
from ingest.store import Batch, sweep
from schemas.store_paths import root

KNOWN_ENDINGS = frozenset(
    {".csv", ".tsv", ".txt", ".xlsx", ".gz", ".zip", ".jsonl", ".ndjson", ".parquet", ".json"}
)
FILES_PER_COMMIT = 128


@dataclass(frozen=True)
class Refused:
    """A file that could not be taken as a whole; nothing of it was kept."""

    source_name: str
    error: IngestError


Taken = Imported | Refused


def take_in(
    store: Path,
    sources: Sequence[Path | bytes],
    player: Player,
    *,
    options: Options | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> list[Taken]:
    """Import every file of `sources` (folders are searched) for one player, then pair.

    Args:
        progress: called with (files done, files in all) after each file.
    """
    sweep(store)
    files = list(expand(sources, root(store)))
    known, batch = Known(store), Batch(store)

    def take(source: Path | bytes, ready: Prepared | None, said: Options) -> Imported:
        _must_exist(source)
        return import_file(
            store, source, player, name=_name_of(source), options=said, batch=batch, known=known,
            ready=ready,
        )  # fmt: skip

    outcomes: list[Taken] = []
    coming = prepared_ahead(store, files, player, options)
    try:
        for done, (source, ready) in enumerate(zip(files, coming, strict=True), start=1):
            outcomes += _sheets_of(take, source, ready, options or Options())
            if done % FILES_PER_COMMIT == 0:
                batch.commit()
            if progress:
                progress(done, len(files))
        batch.commit()
    finally:
        coming.close()
        batch.abandon()
    if any(isinstance(outcome, Imported) and outcome.new for outcome in outcomes):
        after_change(store, player.player_id)
    return outcomes


Take = Callable[[Path | bytes, Prepared | None, Options], Imported]


def _sheets_of(
    take: Take, source: Path | bytes, ready: Prepared | None, given: Options
) -> list[Taken]:
    """What becomes of one file: mostly one import, several for a workbook of several kinds."""

    def one(said: Options) -> Imported:
        return take(source, ready if said is given else None, said)

    try:
        return list(import_all_sheets(one, given))
    except IngestError as error:
        return [Refused(_name_of(source), error)]
    finally:
        if ready is not None:
            ready.discard()


def _name_of(source: Path | bytes) -> str:
    return source.name if isinstance(source, Path) else "standard input"


def expand(sources: Iterable[Path | bytes], leave_out: Path) -> Iterator[Path | bytes]:
    """Files as they are, `-` as standard input, folders as the exports below them, sorted.

    Nothing below `leave_out` (the store's own files) is taken for an export.
    """
    for source in sources:
        if isinstance(source, bytes):
            yield source
        elif str(source) == "-":
            yield sys.stdin.buffer.read()
        elif source.is_dir():
            yield from sorted(
                path
                for path in source.rglob("*")
                if path.is_file()
                and may_be_export(path)
                and not path.resolve().is_relative_to(leave_out.resolve())
            )
        else:
            yield source


def may_be_export(path: Path) -> bool:
    """Whether a file found in a folder is to be looked at, by its name alone."""
    ending = path.suffix.lower()
    return not path.name.startswith(".") and (ending in KNOWN_ENDINGS or ending in endings())


def _must_exist(source: Path | bytes) -> None:
    if isinstance(source, Path) and not source.is_file():
        raise NotReadable("there is no such file.", "check the path.", file=str(source))
