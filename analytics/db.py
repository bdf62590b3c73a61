"""The only module that talks to DuckDB: opens a store for questions and asks them.

A question is a `.sql` file in this package; `ask` runs it over temporary views named after the
tables of `schemas` (see `views.sql` for what each view adds to the stored rows). An answer is kept
for as long as the rows stand, and a connection that asks about one player a second time reads the
player's rows into memory first.

A database of this process reads the store's own files and nothing else, and its settings are locked
once they are made. Questions about one player run on a database with one thread: their rows are
few, sums of several threads would differ in their last digits from run to run (and so would the
tags of answers), and as many of them run at once as there are cores.
"""

import hashlib
import tempfile
import threading
import uuid
from collections.abc import Hashable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from importlib import resources
from pathlib import Path
from weakref import WeakKeyDictionary

import duckdb
import pyarrow as pa

from analytics.document_tables import empty_table, table_of
from analytics.errors import NoSuchPlayer, RowsMoved, TooMuchAtOnce
from analytics.kept_answers import KeptAnswers
from analytics.store_files import StoreFiles, is_complete, scan
from schemas.store_paths import player_dir, root

Connection = duckdb.DuckDBPyConnection
Parameter = str | int | float | bool | datetime | None | Sequence[str] | Sequence[float]

ROW_TABLES = (
    "shots",
    "swings",
    "marks",
    "scores",
    "sessions",
    "homework",
    "edits",
    "set_aside",
)

# The folder says whose rows these are; a row itself never names its player.
HIVE_AS_ID = '* EXCLUDE (player, "import"), player AS player_id'
PLAYER_AS_ID = "* EXCLUDE (player), player AS player_id"

# A temporary view belongs to its connection alone; the relation API would make one that all
# connections to the database share, and one player's question would read another's rows.
STORED = """
CREATE OR REPLACE TEMP VIEW stored_{table} AS
SELECT {chosen}
FROM read_parquet(getvariable('{table}_files'), hive_partitioning = true, union_by_name = true)
"""

OF_ONE = {"threads": "1", "memory_limit": "1GiB"}
OF_ALL = {"memory_limit": "50%"}
"""Limits of a database, by what it is asked about. What needs more memory is spilt to the disk;
what cannot be is refused."""
SPILL = {"max_temp_directory_size": "20GiB"}

# Files from before a column was added: what none of them has is null.
STORED_EARLIER = """
CREATE OR REPLACE TEMP VIEW stored_{table} AS
SELECT * FROM columns_of_{table}
UNION ALL BY NAME
SELECT {chosen}
FROM read_parquet(getvariable('{table}_files'), hive_partitioning = true, union_by_name = true)
"""

_databases: dict[tuple[Path, bool], Connection] = {}
_databases_lock = threading.Lock()
_kept = KeptAnswers()


@dataclass
class _Rows:
    """The rows a connection reads: what tells them from others, and how they are read."""

    identity: str
    of_one_player: bool
    questions: int = 0


_rows_of: WeakKeyDictionary[Connection, _Rows] = WeakKeyDictionary()
_views_of: WeakKeyDictionary[Connection, set[str]] = WeakKeyDictionary()


def open_store(
    store: Path, player_id: str | None = None, as_of: datetime | None = None
) -> Connection:
    """A connection with one temporary view per table, over one player or over all.

    Args:
        store: folder of the store; it need not exist yet.
        player_id: only this player's files are opened; None opens everybody's.
        as_of: UTC; the answers as they stood then, imports taken back since included.

    Returns:
        A cursor of this process's one database for the store; close it when done.

    Raises:
        NoSuchPlayer: the store has no such player.
        RowsMoved: its files were taken away while they were being found.
    """
    if player_id is not None and not _exists(store, player_id):
        raise NoSuchPlayer(
            f"There is no player {player_id!r} in {store}.",
            "list the players with `carrybook players`.",
        )
    connection = _database(store, of_one=player_id is not None).cursor()
    with _own_errors():
        files = _found(store, player_id, as_of)
        _create_views(connection, files)
    _rows_of[connection] = _Rows(_identity(files), player_id is not None)
    return connection


def open_players(store: Path, players: Sequence[str], as_of: datetime | None = None) -> Connection:
    """The same over these players together; those who are not there are left out.

    Raises:
        RowsMoved: their files were taken away while they were being found.
    """
    connection = _database(store, of_one=False).cursor()
    with _own_errors():
        _create_views(connection, _found(store, players, as_of))
    return connection


def in_memory(tables: Mapping[str, pa.Table]) -> Connection:
    """The same views over tables held in memory; those not given are empty. For tests and tools.

    Row tables need a `player_id` column beside those of their schema.
    """
    connection = duckdb.connect()
    _configure(connection)
    for table in (*ROW_TABLES, "imports", "players", "pairs", "population"):
        given = tables.get(table)
        connection.register(f"stored_{table}", given if given is not None else empty_table(table))
    connection.execute(sql("views"))
    return connection


def ask(
    connection: Connection,
    question: str,
    parameters: Mapping[str, Parameter] | None = None,
    views: str | None = None,
) -> pa.Table:
    """The rows that answer `question`, the name of a `.sql` file in this package.

    Args:
        views: the file whose views the question reads beside the usual ones.

    Raises:
        RowsMoved: the files that the connection was opened on are not there any more.
        TooMuchAtOnce: the answer needs more memory than a question may take.
    """
    given = dict(parameters or {})
    key = _key(connection, question, given)
    found = _kept.get(key) if key is not None else None
    if found is not None:
        return found
    with _own_errors():
        _hold_rows(connection)
        made = _views_of.setdefault(connection, set())
        if views is not None and views not in made:
            connection.execute(sql(views))
            made.add(views)
        found = connection.sql(sql(question), params=given).to_arrow_table()
    if key is not None:
        _kept.put(key, found)
    return found


@contextmanager
def _own_errors() -> Iterator[None]:
    """Says in this package's own errors what reading may run into."""
    try:
        yield
    except duckdb.OutOfMemoryException as error:
        raise TooMuchAtOnce(
            "This needs more memory than one question may take.",
            "Ask about fewer rows at once: one player, a club, a span of days.",
        ) from error
    except duckdb.IOException as error:
        raise RowsMoved(
            "The rows were moved while they were read.", "Ask again; the store itself is whole."
        ) from error


def _found(store: Path, players: str | Sequence[str] | None, as_of: datetime | None) -> StoreFiles:
    try:
        return scan(store, players, as_of)
    except FileNotFoundError as error:
        raise duckdb.IOException(str(error)) from error


def stand_apart(connection: Connection) -> None:
    """Say that this connection's views will differ from the store's: nothing of it is kept."""
    _rows_of.pop(connection, None)


def forget_answers() -> None:
    """Drop every kept answer of this process, as when a player is erased."""
    _kept.forget()


def _key(
    connection: Connection, question: str, given: Mapping[str, Parameter]
) -> tuple[Hashable, ...] | None:
    rows = _rows_of.get(connection)
    return None if rows is None else (rows.identity, question, repr(sorted(given.items())))


def _hold_rows(connection: Connection) -> None:
    """Read the rows of one player into memory when a second question is asked about them."""
    rows = _rows_of.get(connection)
    if rows is None or not rows.of_one_player:
        return
    rows.questions += 1
    if rows.questions == 2:
        connection.execute(sql("hold_rows"))


@cache
def sql(question: str) -> str:
    """The text of a question."""
    return resources.files(__package__).joinpath(f"{question}.sql").read_text("utf-8")


def _identity(files: StoreFiles) -> str:
    """What tells these rows from any others: where they lie, and all said about them."""
    return hashlib.sha256(repr(files).encode()).hexdigest()


def _exists(store: Path, player_id: str) -> bool:
    try:
        return player_dir(store, player_id).is_dir()
    except ValueError:
        return False


def _database(store: Path, *, of_one: bool) -> Connection:
    place = store.resolve()
    with _databases_lock:
        if (place, of_one) not in _databases:
            connection = duckdb.connect()
            _configure(connection)
            for name, value in ((OF_ONE if of_one else OF_ALL) | SPILL).items():
                connection.execute(f"SET {name} = $value", {"value": value})
            connection.execute("SET allowed_directories = $places", {"places": [str(root(place))]})
            connection.execute("SET enable_external_access = false")
            connection.execute("SET lock_configuration = true")
            _databases[place, of_one] = connection
        return _databases[place, of_one]


def _configure(connection: Connection) -> None:
    # By default what does not fit in memory is spilt into the working folder: never there, nor to
    # a place that another user or process knows beforehand.
    spill = {"place": str(Path(tempfile.gettempdir()) / f"carrybook-spill-{uuid.uuid4().hex}")}
    connection.execute("SET temp_directory = $place", spill)
    connection.execute("SET TimeZone = 'UTC'")
    connection.execute("SET parquet_metadata_cache = true")
    connection.execute("SET enable_progress_bar = false")


def _create_views(connection: Connection, files: StoreFiles) -> None:
    for table in ROW_TABLES:
        paths = files.tables.get(table, [])
        _store_view(connection, table, paths, HIVE_AS_ID)
    connection.register("stored_imports", table_of(files.ledgers, "imports"))
    connection.register("stored_players", table_of(files.players, "players"))
    _store_view(connection, "pairs", files.pairs, PLAYER_AS_ID)
    _store_view(connection, "population", files.population, "*")
    connection.execute(sql("views"))


def _store_view(connection: Connection, table: str, paths: Sequence[str], chosen: str) -> None:
    """One table of this connection over these files; `table` and `chosen` are this module's own."""
    if not paths:
        connection.register(f"stored_{table}", empty_table(table))
        return
    connection.execute(f"SET VARIABLE {table}_files = $paths", {"paths": list(paths)})
    if is_complete(paths[-1], table):
        connection.execute(STORED.format(table=table, chosen=chosen))
        return
    connection.register(f"columns_of_{table}", empty_table(table))
    connection.execute(STORED_EARLIER.format(table=table, chosen=chosen))
