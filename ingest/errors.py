"""Everything that can go wrong while bringing data in.

    IngestError
    ├── NotReadable      the bytes cannot be opened as text or as a known container
    ├── TooLarge         a file or archive beyond the limits
    ├── NotTabular       no table was found in the file
    ├── NoLayout         a table, but of no kind that is known
    ├── HeaderConflict   two columns for one field, or a field that cannot be two things
    ├── BadOption        an option that does not exist (a zone, a unit, a layout, a player's id)
    ├── UnknownPlayer    the store has no such player
    ├── RulesTaken       a scored test of this name and version has other rules
    ├── WhoseRows        these bytes are already in the store for another player
    ├── UnknownImport    the store has no such import
    └── StoreNotWritable the store cannot be written to; nothing was half-written

A file-level fault raises one of these and keeps nothing. A bad row raises nothing: it is set
aside with its reason and the good rows land.
"""

from typing import ClassVar


class IngestError(Exception):
    """A file-level fault: what, where, why, and how to mend it."""

    code: ClassVar[str] = "ingest"

    def __init__(
        self,
        reason: str,
        mend: str,
        *,
        file: str | None = None,
        row: int | None = None,
        column: str | None = None,
        value: str | None = None,
    ) -> None:
        self.reason = reason
        self.mend = mend
        self.file = file
        self.row = row
        self.column = column
        self.value = value
        super().__init__(self.message())

    def message(self) -> str:
        """One sentence naming file, row, column and value where they exist, then the mend."""
        where = ", ".join(
            part
            for part in (
                self.file,
                f"row {self.row}" if self.row is not None else None,
                f"column {self.column}" if self.column is not None else None,
                f"value {self.value!r}" if self.value is not None else None,
            )
            if part
        )
        return f"{where + ': ' if where else ''}{self.reason} Mend: {self.mend}"


class NotReadable(IngestError):
    """The bytes cannot be opened as text or as a known container."""

    code = "not_readable"


class TooLarge(IngestError):
    """A file or archive beyond the limits."""

    code = "too_large"


class NotTabular(IngestError):
    """No table was found in the file."""

    code = "not_tabular"


class NoLayout(IngestError):
    """A table, but of no kind that is known."""

    code = "no_layout"


class HeaderConflict(IngestError):
    """Two columns for one field, or a field that cannot be two things."""

    code = "header_conflict"


class BadOption(IngestError):
    """An option that does not exist: a zone, a unit, a layout, a player's id."""

    code = "bad_option"


class UnknownPlayer(IngestError):
    """The store has no such player."""

    code = "unknown_player"


class RulesTaken(IngestError):
    """A scored test of this name and version is already in the store, with other rules."""

    code = "rules_taken"


class WhoseRows(IngestError):
    """These bytes are already in the store for another player."""

    code = "whose_rows"


class UnknownImport(IngestError):
    """The store has no such import."""

    code = "unknown_import"


class StoreNotWritable(IngestError):
    """The store cannot be written to; nothing was half-written."""

    code = "store_not_writable"
