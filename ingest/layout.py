"""A declared layout: what the columns of one kind of export mean, as checked plain data.

A layout is matched by its headers: every header it lists must be there, compared without case,
blanks and punctuation; the layout that lists the most wins. It may state a unit, a side and a
decimal sign where the export itself does not. Pure: files are read in `ingest/layout_files.py`.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import cast

from ingest.errors import BadOption
from ingest.plan import dimension_of
from ingest.units import find_unit
from ingest.words import KINDS, TABLE_OF, compact
from schemas.tables import columns

ROLE_NAMES = frozenset(
    {"when", "date", "elapsed", "zone", "unknown", "inverse_tempo_ratio", "side_word", "player"}
)
_TOP = frozenset(
    {"name", "version", "kind", "description", "columns", "decimal", "zone", "date_order"}
)
_COLUMN = frozenset({"header", "column", "unit", "sign"})


@dataclass(frozen=True)
class LayoutColumn:
    """One declared column. `sign` −1 says that plus is left in the source."""

    header: str
    column: str
    unit: str | None = None
    sign: int | None = None


@dataclass(frozen=True)
class Layout:
    """A declared layout; `zone`, `decimal` and `date_order` hold where the file says nothing."""

    name: str
    version: str
    kind: str
    columns: tuple[LayoutColumn, ...]
    description: str = ""
    decimal: str | None = None
    zone: str | None = None
    date_order: str | None = None

    @property
    def label(self) -> str:
        """`name@version`, as ledgers and previews print it."""
        return f"{self.name}@{self.version}"


VOCABULARY = "vocabulary@1"


def parse_layout(data: Mapping[str, object], where: str) -> Layout:
    """A layout from parsed TOML.

    Raises:
        BadOption: naming the key that is missing, unknown or wrong.
    """
    _only(data, _TOP, where)
    kind = _text(data, "kind", where)
    if kind not in KINDS:
        raise BadOption(
            f"kind {kind!r} is not known.", f"Use one of {', '.join(KINDS)}.", file=where
        )
    entries = data.get("columns")
    if not isinstance(entries, list) or not entries:
        raise BadOption("no columns are declared.", "Add a [[columns]] table.", file=where)
    parsed = tuple(_column(entry, kind, where) for entry in entries)
    return Layout(
        name=_text(data, "name", where),
        version=str(data.get("version", "1")),
        kind=kind,
        columns=parsed,
        description=str(data.get("description", "")),
        decimal=_choice(data, "decimal", (".", ","), where),
        zone=cast("str | None", data.get("zone")),
        date_order=_choice(data, "date_order", ("dmy", "mdy", "ymd"), where),
    )


def _only(data: Mapping[str, object], known: frozenset[str], where: str) -> None:
    unknown = sorted(set(data) - known)
    if unknown:
        raise BadOption(
            f"key {unknown[0]!r} is not known.",
            f"Known keys: {', '.join(sorted(known))}.",
            file=where,
        )


def _text(data: Mapping[str, object], key: str, where: str) -> str:
    value = data.get(key)
    if not isinstance(value, str) or not value.strip():
        raise BadOption(f"key {key!r} is missing.", f'Add a line {key} = "…".', file=where)
    return value


def _choice(data: Mapping[str, object], key: str, allowed: Sequence[str], where: str) -> str | None:
    value = data.get(key)
    if value is None:
        return None
    if value not in allowed:
        raise BadOption(f"{key} {value!r} is not known.", f"Use one of {allowed}.", file=where)
    return str(value)


def _column(entry: object, kind: str, where: str) -> LayoutColumn:
    if not isinstance(entry, dict):
        raise BadOption("a column is not a table.", "Write [[columns]] tables.", file=where)
    _only(entry, _COLUMN, where)
    header, column = _text(entry, "header", where), _text(entry, "column", where)
    if column not in ROLE_NAMES and column not in columns(TABLE_OF[kind]):
        raise BadOption(
            f"{column!r} is no column of {TABLE_OF[kind]}.",
            "See COLUMNS.md.",
            file=where,
            column=header,
        )
    unit = entry.get("unit")
    code = find_unit(str(unit), dimension_of(column, kind)) if unit is not None else None
    if unit is not None and code is None:
        raise BadOption(
            f"{unit!r} is no unit of {column}.", "Use a UCUM code.", file=where, column=header
        )
    sign = entry.get("sign")
    if sign not in {None, "right", "left"}:
        raise BadOption(
            "sign says which side plus is.", 'Use "right" or "left".', file=where, column=header
        )
    return LayoutColumn(header, column, code, {"right": 1, "left": -1}.get(str(sign)))


def match_layout(header: Sequence[str], layouts: Iterable[Layout]) -> Layout | None:
    """The layout all of whose headers are in `header`, with the most headers; None without one."""
    present = {compact(text) for text in header}
    fitting = [
        layout
        for layout in layouts
        if all(compact(column.header) in present for column in layout.columns)
    ]
    return max(fitting, key=lambda layout: len(layout.columns), default=None)


def declared(layout: Layout | None, header: str) -> LayoutColumn | None:
    """What `layout` says about one header."""
    if layout is None:
        return None
    key = compact(header)
    return next((column for column in layout.columns if compact(column.header) == key), None)
