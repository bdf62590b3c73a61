"""Turns a refused write into an error that says what to do."""

from pathlib import Path
from types import TracebackType

from ingest.errors import BadOption, StoreNotWritable


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
        if isinstance(error, OSError):
            raise StoreNotWritable(
                f"The store {self.store} cannot be written to ({error.strerror}).",
                "free space, give this user the right to write there, or name another --store.",
            ) from error
