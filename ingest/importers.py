"""Importers for what is not a table: plug-ins that turn bytes into a sheet of texts.

An importer only cuts: it gives header, cells and lines as `ingest.sheet.Sheet`. Meaning, units,
limits and accounting are carrybook's, the same for every source. To add one:

1. Write a class with `name`, `version`, `recognises(start, name)` and `read(data, name)`; see
   `ingest/importer_example.py`.
2. Name it in your package's metadata:
   `[project.entry-points."carrybook.importers"]  my-device = "my_package:MyImporter"`
   Folders are searched for its `endings`, where it names any (`endings = (".log",)`).
3. Run the kit over it with a small sample: `tests/compliance.py: check_importer`.
"""

from collections.abc import Iterable
from functools import cache
from importlib.metadata import entry_points
from typing import Protocol, runtime_checkable

from ingest.errors import NotReadable
from ingest.sheet import Sheet, lines_covered

GROUP = "carrybook.importers"
START_BYTES = 4096


@runtime_checkable
class Importer(Protocol):
    """What a plug-in offers."""

    name: str
    version: str

    def recognises(self, start: bytes, name: str) -> bool:
        """Whether a file that starts with these bytes is of this importer's kind, and no other."""

    def read(self, data: bytes, name: str) -> Sheet:
        """The whole file as one sheet. Raises IngestError for a file that is damaged."""


@cache
def importers() -> tuple[Importer, ...]:
    """The installed importers, by name."""
    found = sorted(entry_points(group=GROUP), key=lambda entry: entry.name)
    return tuple(_made(entry.load()) for entry in found)


def endings() -> frozenset[str]:
    """Endings of file names, small letters, by which the installed importers' files are found."""
    return frozenset(
        ending.lower() for importer in importers() for ending in getattr(importer, "endings", ())
    )


def _made(loaded: object) -> Importer:
    made = loaded() if isinstance(loaded, type) else loaded
    if not isinstance(made, Importer):
        raise NotReadable(
            f"the importer {loaded!r} lacks name, version, recognises or read.",
            "Mend or remove the plug-in.",
        )
    return made


def importer_for(
    start: bytes, name: str, among: Iterable[Importer] | None = None
) -> Importer | None:
    """The importer that recognises a file by its first bytes; None for plain tables."""
    for importer in importers() if among is None else among:
        if importer.recognises(start[:START_BYTES], name):
            return importer
    return None


def read_with(importer: Importer, data: bytes, name: str) -> Sheet:
    """The sheet that `importer` reads, its accounting checked.

    Raises:
        NotReadable: when a line is in no place or in two.
    """
    sheet = importer.read(data, name)
    if lines_covered(sheet) != list(range(1, sheet.n_lines + 1)):
        raise NotReadable(
            f"the importer {importer.name} lost or doubled a line.", "Mend the plug-in.", file=name
        )
    return sheet
