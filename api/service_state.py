"""The service's own memory: one SQLite file beside the tables, in WAL mode.

It holds keys, share links, jobs, replies kept for repeated requests, the feed of changes, webhooks
and the log of reads; a small upload waits in it until its job is done. No other measurement is ever
in it, and nothing in the store depends on it: deleting the file loses keys and history. Statements
here are short, so they run where they are.
"""

import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path

from api.errors import ApiError
from schemas.store_paths import service_file

WAIT_S = 10.0
LARGE_LOG_BYTES = 4 << 20
Value = str | int | bytes | None
Row = sqlite3.Row


def now() -> str:
    """This instant as RFC 3339 text in UTC, with microseconds, so that texts sort as instants."""
    return datetime.now(UTC).isoformat(timespec="microseconds")


class StateNotWritable(ApiError):
    """The service's own file cannot be opened for writing."""

    code = "state_not_writable"


def _open(path: Path) -> sqlite3.Connection:
    path.parent.mkdir(parents=True, exist_ok=True)
    connection = sqlite3.connect(
        path, timeout=WAIT_S, isolation_level=None, check_same_thread=False
    )
    connection.row_factory = sqlite3.Row
    path.chmod(0o600)
    _use_wal(connection)
    script = resources.files(__package__).joinpath("service_state.sql").read_text("utf-8")
    connection.executescript(script)
    return connection


def _use_wal(connection: sqlite3.Connection) -> None:
    """Switch to WAL once and for all; SQLite does not wait its turn for this, so we do."""
    end = time.monotonic() + WAIT_S
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError:
            if time.monotonic() > end:
                raise
            time.sleep(0.01)
        else:
            return


class ServiceState:
    """One open state file; may be used from any thread. Made with its folder when missing.

    A write returns once it is in the log of writes: it survives the end of the process, and is
    torn by nothing. The log is brought into the file now and then, which waits for the disk; a
    connection whose user must not wait (`tidies=False`) leaves that to another.
    """

    def __init__(self, store: Path, *, tidies: bool = True) -> None:
        self.path = service_file(store)
        self._lock = threading.RLock()
        self._depth = 0
        try:
            self._connection = _open(self.path)
        except (OSError, sqlite3.Error) as error:
            raise StateNotWritable(
                f"The service's own file {self.path} cannot be written: {error}.",
                "give the service a folder it may write to.",
            ) from error
        if not tidies:
            self._connection.execute("PRAGMA wal_autocheckpoint = 0")

    def rows(self, statement: str, **values: Value) -> list[Row]:
        """Every row of a query with `:named` values."""
        with self._lock:
            return self._connection.execute(statement, values).fetchall()

    def row(self, statement: str, **values: Value) -> Row | None:
        """The first row of a query."""
        with self._lock:
            found: Row | None = self._connection.execute(statement, values).fetchone()
            return found

    def run(self, statement: str, **values: Value) -> int:
        """Run one statement; returns how many rows it changed."""
        with self._lock:
            return self._connection.execute(statement, values).rowcount

    def run_many(self, statement: str, values: list[dict[str, Value]]) -> None:
        """Run one statement over many rows, all or none of them."""
        with self.together():
            self._connection.executemany(statement, values)

    @contextmanager
    def together(self) -> Iterator[None]:
        """Statements inside happen all or not at all."""
        with self._lock:
            if self._depth == 0:
                self._connection.execute("BEGIN IMMEDIATE")
            self._depth += 1
            try:
                yield
                if self._depth == 1:
                    self._connection.execute("COMMIT")
            except BaseException:
                if self._depth == 1 and self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise
            finally:
                self._depth -= 1

    def tidy(self) -> None:
        """Bring what was written into the file itself, once there is much of it: that waits."""
        log = self.path.with_name(f"{self.path.name}-wal")
        if log.is_file() and log.stat().st_size > LARGE_LOG_BYTES:
            with self._lock:
                self._connection.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchall()

    def wipe_log(self) -> None:
        """Empty the log of writes, where what was removed from the file still stands."""
        with self._lock:
            self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()

    def outside_changes(self) -> int:
        """A number that changes when another process (or connection) wrote to the file."""
        with self._lock:
            return int(self._connection.execute("PRAGMA data_version").fetchone()[0])

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            self._connection.close()
