"""Turns a refused write into an error that says what to do."""

from pathlib import Path
from types import TracebackType

from ingest.errors import BadOption, StoreNotWritable

# No space left, read-only file system, quota exceeded (errno.h of POSIX).
REFUSED = {28, 30, 122}


class StoreWriting:
    """Turns a refused write into StoreNotWritable."""

    def __init__(self, store: Path) -> None:
        self.store = store

    def __enter__(self) -> None:
        if self.store.exists() and not self.store.is_dir():
            raise BadOption(f"{self.store} is a file.", "name a folder with --store.")

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if isinstance(error, PermissionError | FileExistsError | NotADirectoryError) or (
            isinstance(error, OSError) and error.errno in REFUSED
        ):
            raise StoreNotWritable(
                f"The store {self.store} cannot be written to ({error.strerror}).",
                "free space, give this user the right to write there, or name another --store.",
            ) from error
